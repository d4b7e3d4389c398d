"""Windows of whole days, counted from 1970 so that climate and care speak of the same days."""

from __future__ import annotations

import datetime as dt

from diagnose.frozen import frozen

__all__ = ["Reading", "Window", "date_of", "day_number"]

_ZERO = dt.date(1970, 1, 1)


def day_number(day: dt.date) -> int:
    """Days since 1 January 1970."""
    return (day - _ZERO).days


def date_of(number: int) -> dt.date:
    """The day of a day number."""
    return _ZERO + dt.timedelta(number)


@frozen
class Window:
    """Whole days from ``first`` to ``last``, both included, as day numbers."""

    first: int
    last: int

    @property
    def length(self) -> int:
        """Number of days, at least one."""
        return self.last - self.first + 1

    @property
    def middle(self) -> dt.date:
        """The day in the middle."""
        return date_of((self.first + self.last) // 2)


@frozen
class Reading:
    """A value found for a window; ``coverage`` is the share of the window it rests on, ``guess`` what was assumed.

    ``certainty``, in (0, 1], is less than 1 where the value is reckoned from more than was logged.
    """

    value: float
    coverage: float = 1.0
    guess: str = ""
    certainty: float = 1.0
