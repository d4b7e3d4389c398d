"""What the rule base says of things to come, the plants of a bench for it, and what an outlook tells of them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import field

from diagnose.frozen import frozen
from diagnose.model.facts import Case, SeenSign
from diagnose.model.knowledge import AllOf, Claim
from diagnose.model.result import CauseKind, Urgency

__all__ = [
    "After", "BenchPlant", "Concern", "Days", "Finding", "Lead", "Moves", "Outlook", "OutlookLimits", "OutlookRules",
    "PlantOutlook", "SeasonTask", "Sighting", "TaskDue", "Treatment",
]


@frozen
class Days:
    """From so many days to so many, both counted in."""

    low: int
    high: int


@frozen
class Lead:
    """What a cause shows first, and how many days after it begins."""

    cause: str
    sign: str
    days: Days
    claim: Claim


@frozen
class Treatment:
    """A kind of treatment, known by its words: the causes it acts on, when to repeat it, how many rounds it takes, and
    after how many days since a round its effect is judged."""

    id: str
    words: tuple[str, ...]
    against: tuple[str, ...]
    repeat: Days
    rounds: int
    judged_after_days: int
    claim: Claim


@frozen
class Concern:
    """Causes that can only trouble plants of which the tests hold."""

    when: AllOf
    causes: tuple[str, ...]
    claim: Claim


@frozen
class OutlookLimits:
    """When a cause is named, how much further up one comes that spreads, how many are named, how far ahead the season
    looks, and from which probability on a neighbour counts."""

    least_probability: float
    least_decibans: float
    spreads_times: float
    most_findings: float
    season_days: float
    neighbour_from: float
    most_neighbours: float


@frozen
class Moves:
    """By how many decibans the odds of a cause move: up for what neighbours and place show, down after a treatment."""

    neighbour_has_it: float
    shared_place: float
    still_there: float
    gone: float


@frozen
class OutlookRules:
    """Everything of knowledge/outlook.yaml. ``clean`` are words of a look that found nothing, in small letters."""

    limits: OutlookLimits
    moves: Moves
    of_the_place: frozenset[str]
    concerns: tuple[Concern, ...]
    clean: tuple[str, ...]
    leads: Mapping[str, Lead]
    treatments: tuple[Treatment, ...]
    sources: tuple[str, ...] = ()


@frozen
class After:
    """A task counted in days from each care row of an action; with words only from rows whose detail holds one."""

    event: str
    days: Days
    words: tuple[str, ...] = ()


@frozen
class SeasonTask:
    """What a season, a stage or something done asks for, where ``when`` holds.

    ``first`` and ``last`` are month and day of a span of the northern year, if the task has one; ``for_days`` how long
    it is worth saying where neither a span nor a row of the log bounds it, 0 for as long as its tests hold.
    ``otherwise`` takes the place of ``because`` where a figure in it is unknown.
    """

    id: str
    do: str
    because: str
    otherwise: str
    when: AllOf
    claim: Claim
    first: tuple[int, int] | None = None
    last: tuple[int, int] | None = None
    after: After | None = None
    for_days: int = 0


@frozen
class Sighting:
    """What one look at a plant found: signs seen or seen to be absent. ``clean``: looked over, and nothing found."""

    days_ago: int
    signs: tuple[SeenSign, ...] = ()
    clean: bool = False


@frozen
class BenchPlant:
    """A plant of the bench with its facts up to the date; its case holds no signs, ``sightings`` do, oldest first."""

    plant: str
    place: str
    case: Case
    sightings: tuple[Sighting, ...] = ()


@frozen
class Finding:
    """A cause that has become likelier than the book has it. ``probability``: that it holds, signs or no signs.

    ``first`` says what it shows first and when.
    """

    cause: str
    name: str
    kind: CauseKind
    probability: float
    book: float
    urgency: Urgency
    because: tuple[str, ...]
    first: str
    do: tuple[str, ...]
    do_not: tuple[str, ...]
    cautions: tuple[str, ...]


@frozen
class TaskDue:
    """What to do from a day to a day, and because of what."""

    first: dt.date
    last: dt.date
    do: str
    because: str


@frozen
class PlantOutlook:
    """One plant: what threatens it, worst first, and what the next weeks ask for, soonest first."""

    plant: str
    place: str
    group: str
    findings: tuple[Finding, ...]
    season: tuple[TaskDue, ...]
    cost: float = 0.0
    notes: tuple[str, ...] = field(default=())


@frozen
class Outlook:
    """The whole bench as of a date, worst plants first."""

    date: dt.date
    plants: tuple[PlantOutlook, ...]
