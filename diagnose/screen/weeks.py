"""A history cut into weeks (or days, where it is short), for tables and small lines."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Sequence

from diagnose.frozen import frozen
from diagnose.model.history import DayRange, History

__all__ = ["Stretch", "mean_of", "stretches"]

SHORT_DAYS = 35  # up to here days are shown one by one
WEEK = 7


@frozen
class Stretch:
    """Some days in a row, both ends included."""

    first: dt.date
    last: dt.date

    def holds(self, day: dt.date) -> bool:
        """Whether a day lies within."""
        return self.first <= day <= self.last


def stretches(history: History) -> list[Stretch]:
    """The history in whole weeks that end on its last day, oldest first; single days where it is short."""
    step = 1 if history.length <= SHORT_DAYS else WEEK
    ends = [history.last - dt.timedelta(step * number) for number in range(history.length // step)]
    return [Stretch(end - dt.timedelta(step - 1), end) for end in reversed(ends)]


def mean_of(days: Iterable[DayRange], over: Sequence[Stretch], pick: Callable[[DayRange], float]
            ) -> list[float | None]:
    """The mean of a figure of the known days within each stretch; None where none is known."""
    known = list(days)
    return [_mean([pick(day) for day in known if stretch.holds(day.day)]) for stretch in over]


def _mean(values: Sequence[float]) -> float | None:
    return sum(values) / len(values) if values else None
