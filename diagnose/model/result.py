"""The result object of CONTRACT version 1: what ``--json`` prints, as frozen values."""

from __future__ import annotations

from typing import Literal

from diagnose.frozen import frozen
from diagnose.model.facts import Origin, State

__all__ = [
    "AskNext",
    "CauseFound",
    "Evidence",
    "RecordMeasure",
    "RecordsSummary",
    "Result",
    "ResultEvent",
    "ResultMeasure",
    "ResultOtherPlant",
    "ResultPlant",
    "ResultSign",
    "Understood",
]

CauseKind = Literal["care", "climate", "nutrition", "pest", "disease", "handling", "normal"]
Grade = Literal["very likely", "likely", "possible", "unlikely"]
Urgency = Literal["today", "this week", "soon", "none"]
Effort = Literal["look", "touch", "lift", "unpot", "cut"]
Verdict = Literal["decided", "ask", "nothing_fits"]


@frozen
class ResultSign:
    """A sign understood, with its state and the place in the letter."""

    sign: str
    name: str
    state: State
    quote: str
    start: int
    end: int


@frozen
class ResultPlant:
    """What kind of plant; empty text where unknown."""

    group: str
    stage: str
    medium: str


@frozen
class ResultMeasure:
    """A quantity told in the letter. ``guess`` says in words what was assumed."""

    quantity: str
    value: float
    unit: str
    quote: str
    guess: str | None


@frozen
class ResultEvent:
    """Something that happened, and how many days before the date."""

    event: str
    days_ago: int
    quote: str


@frozen
class ResultOtherPlant:
    """Another plant mentioned in the letter."""

    group: str
    signs: tuple[str, ...]
    quote: str


@frozen
class Understood:
    """What was taken from the letter and the answers, and what was not understood."""

    signs: tuple[ResultSign, ...]
    plant: ResultPlant
    measures: tuple[ResultMeasure, ...]
    events: tuple[ResultEvent, ...]
    other_plants: tuple[ResultOtherPlant, ...]
    not_understood: tuple[str, ...]


@frozen
class RecordMeasure:
    """A measure of the records over a window that ended on ``until``."""

    measure: str
    value: float
    unit: str
    window_days: int
    until: str


@frozen
class RecordsSummary:
    """The measures of the records and what was guessed, left out or missing."""

    measures: tuple[RecordMeasure, ...]
    notes: tuple[str, ...]


@frozen
class Evidence:
    """One finding for or against a cause: by how many decibans the posterior odds drop when it is left out."""

    finding: str
    from_: Origin
    decibans: float
    because: str
    source: str


@frozen
class CauseFound:
    """A likely cause with its reasons and advice. ``probability``: it holds and accounts for a sign seen."""

    cause: str
    name: str
    also_called: tuple[str, ...]
    kind: CauseKind
    probability: float
    grade: Grade
    urgency: Urgency
    spreads: bool
    for_: tuple[Evidence, ...]
    against: tuple[Evidence, ...]
    settle: tuple[str, ...]
    do: tuple[str, ...]
    do_not: tuple[str, ...]
    expect: str
    cautions: tuple[str, ...]


@frozen
class AskNext:
    """A question worth asking: the sign it settles and the expected fall in uncertainty."""

    sign: str
    question: str
    effort: Effort
    gain_bits: float


@frozen
class Result:
    """The answer for one case."""

    version: Literal[1]
    date: str
    understood: Understood
    records: RecordsSummary | None
    causes: tuple[CauseFound, ...]
    best_explanation: tuple[str, ...]
    unexplained: tuple[str, ...]
    nothing_fits: float
    approximate: bool
    ask_next: tuple[AskNext, ...]
    verdict: Verdict
