"""Facts of one case: what a letter, answers and records say, before any rule has fired.

Unknown is never zero and never "no": what is not stated is simply not in the tuples.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import field
from enum import StrEnum

from diagnose.frozen import frozen

__all__ = [
    "Case", "Event", "Habit", "Measure", "MeasureRequest", "Origin", "OtherPlant",
    "PlantContext", "SeenSign", "State",
]


class State(StrEnum):
    """What is known of a sign. A sign that nobody looked at has no entry at all."""

    PRESENT = "present"
    ABSENT = "absent"
    UNSURE = "unsure"


class Origin(StrEnum):
    """Where a fact comes from; the words are those of the result object."""

    LETTER = "letter"
    ANSWER = "answer"
    CLIMATE_LOG = "climate log"
    CARE_LOG = "care log"
    PLANT = "plant"


@frozen
class SeenSign:
    """A sign with its state. ``certainty`` is in (0, 1]; start and end index the letter's characters."""

    sign: str
    state: State
    origin: Origin
    quote: str = ""
    start: int = 0
    end: int = 0
    certainty: float = 1.0


@frozen
class Measure:
    """A quantity over a window of days that ended ``ended_days_ago`` before the date of the case.

    ``measure`` is an id of knowledge/measures.yaml, ``unit`` the unit given there. ``window_days`` 0 means
    a value of the day itself or one told without a window. ``during`` names a stage whose days formed the window.
    """

    measure: str
    value: float
    unit: str
    origin: Origin
    window_days: int = 0
    ended_days_ago: int = 0
    during: str = ""
    certainty: float = 1.0
    quote: str = ""
    guess: str = ""


@frozen
class MeasureRequest:
    """A measure that some rule asks for: over how many days, ended how long ago, or during which stage."""

    measure: str
    window_days: int
    ended_days_ago: int = 0
    during: str = ""


@frozen
class Event:
    """Something done or happened ``days_ago``; ``happened`` False states that it did not within that time."""

    event: str
    days_ago: int
    origin: Origin
    happened: bool = True
    certainty: float = 1.0
    quote: str = ""


@frozen
class Habit:
    """A circumstance or habit told in words (an id of knowledge/habits.yaml); ``holds`` False denies it."""

    habit: str
    origin: Origin
    holds: bool = True
    certainty: float = 1.0
    quote: str = ""


@frozen
class PlantContext:
    """What kind of plant it is and how it is grown. Empty text means unknown; so does None."""

    group: str = ""
    stage: str = ""
    medium: str = ""
    size: str = ""
    place: str = ""
    reservoir: bool | None = None
    hemisphere: str = ""
    origins: tuple[tuple[str, Origin], ...] = ()


@frozen
class OtherPlant:
    """Another plant that the letter mentions, with the signs told of it."""

    group: str
    signs: tuple[str, ...]
    quote: str


@frozen
class Case:
    """All facts of one case, judged as of ``date``. ``onset_days_ago`` says when the trouble began, if told.

    ``season`` is the one that the letter's own words tell, where they do; else the date and the place give it.
    """

    date: dt.date
    plant: PlantContext = field(default_factory=PlantContext)
    signs: tuple[SeenSign, ...] = ()
    measures: tuple[Measure, ...] = ()
    events: tuple[Event, ...] = ()
    habits: tuple[Habit, ...] = ()
    other_plants: tuple[OtherPlant, ...] = ()
    not_understood: tuple[str, ...] = ()
    onset_days_ago: int | None = None
    season: str = ""
    has_records: bool = False
    notes: tuple[str, ...] = ()
