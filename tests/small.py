"""The small invented rule base of tests/data/small_base, and cases to put to it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import replace
from functools import cache
from pathlib import Path

from diagnose.knowledge.folder import load
from diagnose.model.facts import Case, Event, Habit, Measure, Origin, PlantContext, SeenSign, State
from diagnose.model.knowledge import AllOf, Claim, KnowledgeBase, Shows
from diagnose.reason.rulebook import Rulebook

DATE = dt.date(2026, 3, 2)


def small_folder() -> Path:
    """The folder of the small rule base."""
    return Path(__file__).parent / "data" / "small_base"


@cache
def small_base() -> KnowledgeBase:
    """The small rule base, read once."""
    return load(small_folder())


@cache
def small_rulebook() -> Rulebook:
    """The small rule base, compiled once."""
    return Rulebook(small_base())


def with_shows(cause: str, *more: tuple[str, float, AllOf]) -> Rulebook:
    """The small rule base with further signs for a cause: sign, frequency and context of each, its reason "why <n>"."""
    base = small_base()
    rules = tuple(Shows(f"{cause}/shows/more{n}", sign, frequency, f"{frequency}", when,
                        Claim(f"why {n}", ("JAR_BOOK",), base.causes[cause].where))
                  for n, (sign, frequency, when) in enumerate(more, 1))
    changed = replace(base.causes[cause], shows=base.causes[cause].shows + rules)
    return Rulebook(replace(base, causes={**base.causes, cause: changed}))


def seen(signs: Iterable[str], state: State = State.PRESENT, certainty: float = 1.0) -> tuple[SeenSign, ...]:
    """Signs answered at the jar."""
    return tuple(SeenSign(sign, state, Origin.ANSWER, certainty=certainty) for sign in signs)


def case(present: Iterable[str] = (), absent: Iterable[str] = (), *, group: str = "tall_moss",
         habits: Iterable[tuple[str, bool]] = (), waterings_days_ago: Iterable[int] = (),
         humidity_pct: float | None = None) -> Case:
    """A case of answers, with the mean humidity of the last 30 days if one is given."""
    return Case(
        date=DATE,
        plant=PlantContext(group=group),
        signs=seen(present) + seen(absent, State.ABSENT),
        habits=tuple(Habit(habit, Origin.ANSWER, holds) for habit, holds in habits),
        events=tuple(Event("water", days, Origin.CARE_LOG) for days in waterings_days_ago),
        measures=() if humidity_pct is None else (
            Measure("relative_humidity_mean", humidity_pct, "%", Origin.CLIMATE_LOG, window_days=30),),
    )
