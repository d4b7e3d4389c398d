"""The rule base as frozen values. The loader builds them from YAML; nothing changes them afterwards."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from typing import TYPE_CHECKING, Literal

from diagnose.frozen import frozen
from diagnose.model.result import CauseKind, Effort, Urgency
from diagnose.model.terms import PlantTerms
from diagnose.model.water import WaterRules
from diagnose.model.when import AllOf, AnyOf, Atom, Bound, EventTest, MeasureTest, Test
from diagnose.problems import Where

if TYPE_CHECKING:
    from diagnose.model.outlook import OutlookRules, SeasonTask

__all__ = [
    "Advice",
    "AllOf",
    "Answer",
    "AnyOf",
    "Atom",
    "Bound",
    "Cause",
    "Caution",
    "Claim",
    "Condition",
    "EventTest",
    "Example",
    "Group",
    "HabitWords",
    "KnowledgeBase",
    "LookAlike",
    "MeasureKind",
    "MeasureTest",
    "Need",
    "Question",
    "Scales",
    "SettlingCheck",
    "Shift",
    "Shows",
    "Sign",
    "Source",
    "Test",
]


@frozen
class Claim:
    """Why something is said and on whose word: shown to the grower beside each finding."""

    why: str
    sources: tuple[str, ...]
    where: Where


@frozen
class Shows:
    """A cause shows a sign with a frequency in (0, 1), where ``when`` holds."""

    rule: str
    sign: str
    frequency: float
    how_often: str
    when: AllOf
    claim: Claim


@frozen
class Shift:
    """A context that changes the odds of a cause by so many decibans (negative: speaks against it)."""

    rule: str
    kind: Literal["favoured_by", "spoken_against_by", "ruled_out_by"]
    when: AllOf
    decibans: float
    claim: Claim


@frozen
class Advice:
    """What to do (or never to do) where ``when`` holds. Text may hold {measures}; ``otherwise`` is for unknown ones."""

    rule: str
    part: Literal["now", "later", "never"]
    text: str
    otherwise: str
    when: AllOf
    claim: Claim


@frozen
class LookAlike:
    """Another cause that is easily taken for this one, and what tells them apart."""

    cause: str
    tell_apart: str
    where: Where


@frozen
class SettlingCheck:
    """A look or test that settles a cause against look-alikes."""

    check: str
    against: tuple[str, ...]
    claim: Claim


@frozen
class Example:
    """A small worked example: facts, and whether the cause must win or lose to the named look-alike."""

    loses_to: str
    signs: tuple[str, ...]
    absent: tuple[str, ...]
    plant: Mapping[str, str]
    conditions: tuple[str, ...]
    where: Where


@frozen
class Cause:
    """One cause with all that is known of it. ``prior`` is its probability among plants asked about."""

    id: str
    name: str
    also_called: tuple[str, ...]
    kind: CauseKind
    story: str
    how_common: str
    prior: float
    urgency: Urgency
    spreads: str
    look_alikes: tuple[LookAlike, ...]
    shows: tuple[Shows, ...]
    shifts: tuple[Shift, ...]
    settle: tuple[SettlingCheck, ...]
    advice: tuple[Advice, ...]
    recovers: str
    look_again_days: int
    cautions: tuple[str, ...]
    examples: tuple[Example, ...]
    where: Where

    @property
    def rules(self) -> tuple[Shows | Shift | Advice, ...]:
        """Every rule of the cause, in the order of its file."""
        return (*self.shows, *self.shifts, *self.advice)

    @property
    def claims(self) -> tuple[Claim, ...]:
        """Everything the cause claims: its rules and its settling checks."""
        return (*(rule.claim for rule in self.rules), *(check.claim for check in self.settle))


@frozen
class Sign:
    """A departure from health. ``background`` is how often it is there for no reason on the list.

    A ``passing`` sign is often told in passing: in a letter that tells of other trouble it is no complaint. A sign
    that ``yields_to`` others is not read from words of a letter that tell one of those.
    """

    id: str
    name: str
    part: str
    meaning: str
    background: float
    implies: tuple[str, ...]
    words: tuple[str, ...]
    not_words: tuple[str, ...]
    words_alone: tuple[str, ...]
    passing: bool
    yields_to: tuple[str, ...]
    where: Where


@frozen
class Answer:
    """A possible answer and the signs it settles; ``healthy`` answers settle every sign as absent."""

    say: str
    present: tuple[str, ...]
    absent: tuple[str, ...]
    healthy: bool


@frozen
class Question:
    """A plain question; ``several`` says that more than one answer can hold."""

    id: str
    ask: str
    how: str
    effort: Effort
    several: bool
    answers: tuple[Answer, ...]
    signs: tuple[str, ...]
    where: Where


@frozen
class Condition:
    """A named circumstance derived from facts by rules."""

    id: str
    name: str
    when: Test
    claim: Claim


@frozen
class Need:
    """What a group needs of one quantity; the unit is in the name of the need."""

    value: float
    sources: tuple[str, ...]


@frozen
class Group:
    """A group of plants that want the same, with the names by which growers call them."""

    id: str
    name: str
    traits: tuple[str, ...]
    needs: Mapping[str, Need]
    dry_out: str
    rest: str
    rest_season: tuple[str, ...]
    bloom_season: tuple[str, ...]
    note: str
    names: tuple[str, ...]
    where: Where


@frozen
class MeasureKind:
    """A quantity that records or letters give, with its unit; ``windowed`` says that it needs a window of days."""

    id: str
    name: str
    unit: str
    windowed: bool
    meaning: str
    source: str
    where: Where


@frozen
class HabitWords:
    """A circumstance told in words, with its phrases. A ``yearly`` one belongs to a season and comes back with it."""

    id: str
    name: str
    words: tuple[str, ...]
    not_words: tuple[str, ...]
    words_alone: tuple[str, ...]
    yearly: bool
    where: Where


@frozen
class Source:
    """A cited publication."""

    id: str
    title: str
    publisher: str
    year: str
    link: str
    kind: str
    where: Where


@frozen
class Caution:
    """A warning that goes with advice that can hurt; advice with a word of ``called_by`` must come with it."""

    id: str
    text: str
    sources: tuple[str, ...]
    called_by: tuple[str, ...]
    where: Where


@frozen
class Scales:
    """The words of the rule base with their numbers, and the constants of belief, all from knowledge/scales.yaml."""

    how_often: Mapping[str, float]
    how_much_decibans: Mapping[str, float]
    how_common: Mapping[str, float]
    background: Mapping[str, float]
    urgency: Mapping[str, float]
    effort: Mapping[str, float]
    grade: Mapping[str, float]
    constants: Mapping[str, float]


@frozen
class KnowledgeBase:
    """The whole rule base. ``problems`` that only matter for its quality are found by checks, not kept here.

    ``water`` and ``outlook`` are None, and ``season`` is empty, where the folder says nothing of them.
    """

    causes: Mapping[str, Cause]
    signs: Mapping[str, Sign]
    questions: Mapping[str, Question]
    conditions: Mapping[str, Condition]
    groups: Mapping[str, Group]
    measures: Mapping[str, MeasureKind]
    habits: Mapping[str, HabitWords]
    sources: Mapping[str, Source]
    cautions: Mapping[str, Caution]
    scales: Scales
    terms: PlantTerms
    speech: object = field(default=None)
    water: WaterRules | None = None
    outlook: OutlookRules | None = None
    season: tuple[SeasonTask, ...] = ()

    def question_of(self, sign: str) -> Question | None:
        """The question that settles a sign, if any does."""
        return next((question for question in self.questions.values() if sign in question.signs), None)
