"""The rule base as frozen values. The loader builds them from YAML; nothing changes them afterwards."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from diagnose.model.facts import MeasureRequest
from diagnose.model.result import CauseKind, Effort, Urgency
from diagnose.model.water import WaterRules
from diagnose.problems import Where

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


@dataclass(frozen=True)
class Atom:
    """A test of one kind (sign, stage, group ...) that holds if any of the values does. ``wanted`` False: the
    opposite must be known (a sign seen to be absent, a habit denied); for a condition: it was not derived."""

    kind: Literal["sign", "stage", "group", "trait", "medium", "size", "season", "place", "reservoir", "condition",
                  "habit", "suspected"]
    values: tuple[str, ...]
    wanted: bool = True


@dataclass(frozen=True)
class EventTest:
    """Something done within, or longer ago than, a number of days; ``happened`` False: known not to have been done."""

    event: str
    days: int
    within: bool = True
    happened: bool = True


@dataclass(frozen=True)
class Bound:
    """A limit: a number in the measure's unit, or a need of the plant's group plus an offset."""

    value: float
    need: str = ""


@dataclass(frozen=True)
class MeasureTest:
    """A measure over a window compared with a bound, strictly above or below."""

    request: MeasureRequest
    above: bool
    bound: Bound


@dataclass(frozen=True)
class AllOf:
    """Holds when every test does."""

    tests: tuple[Test, ...]


@dataclass(frozen=True)
class AnyOf:
    """Holds when at least one test does."""

    tests: tuple[Test, ...]


Test = Atom | EventTest | MeasureTest | AllOf | AnyOf


@dataclass(frozen=True)
class Claim:
    """Why something is said and on whose word: shown to the grower beside each finding."""

    why: str
    sources: tuple[str, ...]
    where: Where


@dataclass(frozen=True)
class Shows:
    """A cause shows a sign with a frequency in (0, 1), where ``when`` holds."""

    rule: str
    sign: str
    frequency: float
    how_often: str
    when: AllOf
    claim: Claim


@dataclass(frozen=True)
class Shift:
    """A context that changes the odds of a cause by so many decibans (negative: speaks against it)."""

    rule: str
    kind: Literal["favoured_by", "spoken_against_by", "ruled_out_by"]
    when: AllOf
    decibans: float
    claim: Claim


@dataclass(frozen=True)
class Advice:
    """What to do (or never to do) where ``when`` holds. Text may hold {measures}; ``otherwise`` is for unknown ones."""

    rule: str
    part: Literal["now", "later", "never"]
    text: str
    otherwise: str
    when: AllOf
    claim: Claim


@dataclass(frozen=True)
class LookAlike:
    """Another cause that is easily taken for this one, and what tells them apart."""

    cause: str
    tell_apart: str
    where: Where


@dataclass(frozen=True)
class SettlingCheck:
    """A look or test that settles a cause against look-alikes."""

    check: str
    against: tuple[str, ...]
    claim: Claim


@dataclass(frozen=True)
class Example:
    """A small worked example: facts, and whether the cause must win or lose to the named look-alike."""

    loses_to: str
    signs: tuple[str, ...]
    absent: tuple[str, ...]
    plant: Mapping[str, str]
    conditions: tuple[str, ...]
    where: Where


@dataclass(frozen=True)
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


@dataclass(frozen=True)
class Sign:
    """A departure from health. ``background`` is how often it is there for no reason on the list."""

    id: str
    name: str
    part: str
    meaning: str
    background: float
    implies: tuple[str, ...]
    words: tuple[str, ...]
    not_words: tuple[str, ...]
    where: Where


@dataclass(frozen=True)
class Answer:
    """A possible answer and the signs it settles; ``healthy`` answers settle every sign as absent."""

    say: str
    present: tuple[str, ...]
    absent: tuple[str, ...]
    healthy: bool


@dataclass(frozen=True)
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


@dataclass(frozen=True)
class Condition:
    """A named circumstance derived from facts by rules."""

    id: str
    name: str
    when: Test
    claim: Claim


@dataclass(frozen=True)
class Need:
    """What a group needs of one quantity; the unit is in the name of the need."""

    value: float
    sources: tuple[str, ...]


@dataclass(frozen=True)
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


@dataclass(frozen=True)
class MeasureKind:
    """A quantity that records or letters give, with its unit; ``windowed`` says that it needs a window of days."""

    id: str
    name: str
    unit: str
    windowed: bool
    meaning: str
    source: str
    where: Where


@dataclass(frozen=True)
class HabitWords:
    """A circumstance told in words, with its phrases."""

    id: str
    name: str
    words: tuple[str, ...]
    not_words: tuple[str, ...]
    where: Where


@dataclass(frozen=True)
class Source:
    """A cited publication."""

    id: str
    title: str
    publisher: str
    year: str
    link: str
    kind: str
    where: Where


@dataclass(frozen=True)
class Caution:
    """A warning that goes with advice that can hurt; advice with a word of ``called_by`` must come with it."""

    id: str
    text: str
    sources: tuple[str, ...]
    called_by: tuple[str, ...]
    where: Where


@dataclass(frozen=True)
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


@dataclass(frozen=True)
class KnowledgeBase:
    """The whole rule base. ``problems`` that only matter for its quality are found by checks, not kept here.

    ``water`` is None where the folder says nothing of water in pots.
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
    speech: object = field(default=None)
    water: WaterRules | None = None

    def question_of(self, sign: str) -> Question | None:
        """The question that settles a sign, if any does."""
        return next((question for question in self.questions.values() if sign in question.signs), None)
