"""A case on the volunteers' desk: its file, what was done with it, and what a glance at its letter says."""

from __future__ import annotations

import datetime as dt
from dataclasses import field
from enum import StrEnum

from diagnose.frozen import frozen
from diagnose.model.facts import State
from diagnose.problems import Problem

__all__ = ["RESULTS", "CaseFile", "CaseState", "Deed", "DeedWord", "DeskCase", "Glance", "Missing", "Outcome", "Share"]

RESULTS = ("better", "same", "worse", "lost")


class CaseState(StrEnum):
    """Where a case stands; the words are those of the case file."""

    NEW = "new"
    ASKED = "asked"
    ANSWERED = "answered"
    CLOSED = "closed"


class DeedWord(StrEnum):
    """What a volunteer can do with a case."""

    TAKE = "take"
    HAND_BACK = "hand-back"
    ASK = "ask"
    ANSWER = "answer"
    CLOSE = "close"
    REOPEN = "reopen"
    OUTCOME = "outcome"


@frozen
class Outcome:
    """What the cause proved to be and how the plant did (a word of RESULTS), known on a day."""

    cause: str
    result: str
    on: dt.date


@frozen
class Deed:
    """One thing done with a case. ``at`` is the time in UTC; ``said`` the probabilities told with an answer;
    ``reply`` the file of what was sent, beside the case file."""

    did: str
    by: str
    on: dt.date
    at: str = ""
    note: str = ""
    reply: str = ""
    look_again: dt.date | None = None
    said: tuple[tuple[str, float], ...] = ()


@frozen
class CaseFile:
    """A case as its file tells it. Empty text and None mean not told; ``problems`` are what could not be used.

    ``file`` is relative to the folder of cases. ``context`` says what the plant shares with others (show, supplier,
    greenhouse). ``records_folder`` is kept only where it lies inside the folder of the case file.
    """

    file: str
    case: str
    received: dt.date | None = None
    member: str = ""
    letter: str = ""
    group: str = ""
    stage: str = ""
    medium: str = ""
    records_folder: str = ""
    records_plant: str = ""
    answers: tuple[tuple[str, State], ...] = ()
    state: CaseState = CaseState.NEW
    taken_by: str = ""
    outcome: Outcome | None = None
    context: tuple[tuple[str, str], ...] = ()
    history: tuple[Deed, ...] = ()
    look_again: dt.date | None = None
    problems: tuple[Problem, ...] = field(default=())


@frozen
class Share:
    """A likely cause of a case: the probability that it holds and accounts for a sign seen."""

    cause: str
    probability: float
    grade: str
    urgency: str
    spreads: bool


@frozen
class Missing:
    """A question that would help to tell the causes apart, and the sign it settles."""

    sign: str
    question: str


@frozen
class Glance:
    """What reasoning says of a case, short: causes likeliest first, signs seen, what is missing.

    ``hurts`` are ids of causes and habits by which people or pets could come to harm.
    """

    shares: tuple[Share, ...]
    signs: tuple[str, ...]
    missing: tuple[Missing, ...]
    verdict: str
    nothing_fits: float
    group: str
    hurts: tuple[str, ...] = ()


@frozen
class DeskCase:
    """A case file with the glance at it; no glance where the file could not be read. The letter is not kept here."""

    case_file: CaseFile
    glance: Glance | None
    problem: str = ""
