"""Known days in a row, and how they are drawn: what is not known in between stays blank."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from typing import Protocol, TypeVar

from diagnose.screen.html.frame import Frame, path
from diagnose.screen.page import Markup

__all__ = ["area", "curve", "runs"]

ONE_DAY = dt.timedelta(1)


class _Dated(Protocol):
    @property
    def day(self) -> dt.date: ...


D = TypeVar("D", bound=_Dated)


def runs(days: Sequence[D]) -> list[list[D]]:
    """The days, oldest first, cut wherever one is missing."""
    found: list[list[D]] = []
    for day in days:
        if found and found[-1][-1].day + ONE_DAY == day.day:
            found[-1].append(day)
        else:
            found.append([day])
    return found


def curve(frame: Frame, run: Sequence[D], value: Callable[[D], float], look: str) -> Markup:
    """A line through the middles of days in a row, reaching from the beginning of the first to the end of the last."""
    return path(_through(frame, run, value), look)


def area(frame: Frame, run: Sequence[D], low: Callable[[D], float], high: Callable[[D], float], look: str) -> Markup:
    """The area between two values of days in a row."""
    return path([*_through(frame, run, high), *reversed(_through(frame, run, low))], look, closed=True)


def _through(frame: Frame, run: Sequence[D], value: Callable[[D], float]) -> list[tuple[float, float]]:
    points = [(frame.x(day.day), frame.y(value(day))) for day in run]
    return [(frame.x(run[0].day, 0.0), points[0][1]), *points, (frame.x(run[-1].day, 1.0), points[-1][1])]
