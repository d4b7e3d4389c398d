"""The frame of a picture: days across, values upwards, with the lines and words along its edges."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator

from diagnose.frozen import frozen
from diagnose.screen.page import Markup, tag

__all__ = ["NARROW", "WIDE", "Frame", "Size", "day_words", "line", "path", "rect", "ticks", "words"]

LEFT, RIGHT, TOP, BOTTOM = 58.0, 10.0, 20.0, 22.0
LONG_DAYS = 62  # from here on months are named, below it days
LEAST_APART = 42.0  # words along the days never stand closer
MOST_TICKS = 5
STEPS = (1.0, 2.0, 2.5, 5.0, 10.0)


@frozen
class Size:
    """Width and height of a picture, in units that are about a pixel, and the name of its layout."""

    layout: str
    width: float
    height: float

    def with_height(self, height: float) -> Size:
        """The same width with another height."""
        return Size(self.layout, self.width, height)


WIDE, NARROW = Size("wide", 720, 190), Size("narrow", 350, 170)


@frozen
class Frame:
    """A picture of days from ``first`` to ``last``, both included, and of values from ``low`` to ``high``."""

    size: Size
    first: dt.date
    last: dt.date
    low: float = 0.0
    high: float = 1.0

    @property
    def right(self) -> float:
        """Where the days end."""
        return self.size.width - RIGHT

    @property
    def floor(self) -> float:
        """Where the values begin."""
        return self.size.height - BOTTOM

    def x(self, day: dt.date, share: float = 0.5) -> float:
        """Where a share of a day lies, 0 being its beginning; days outside the picture lie on its edge."""
        days = (self.last - self.first).days + 1
        at = (day - self.first).days + share
        return LEFT + min(max(at, 0.0), float(days)) / days * (self.right - LEFT)

    def y(self, value: float) -> float:
        """Where a value lies; values outside lie on the edge."""
        share = (value - self.low) / (self.high - self.low)
        return self.floor - min(max(share, 0.0), 1.0) * (self.floor - TOP)

    def days_across(self) -> Iterator[Markup]:
        """Fine lines and words at the beginnings of months, or each week where the time is short."""
        reached = -LEAST_APART
        for day, text in self._dates():
            x = self.x(day, 0.0)
            yield line(x, TOP, x, self.floor, "grid")
            if x - reached >= LEAST_APART and x <= self.right - 18:
                yield words(x, self.floor + 15, text, "start" if x < LEFT + 8 else "middle")
                reached = x

    def _dates(self) -> Iterator[tuple[dt.date, str]]:
        every = [self.first + dt.timedelta(number) for number in range((self.last - self.first).days + 1)]
        if len(every) < LONG_DAYS:
            yield from ((day, f"{day.day} {day:%b}") for day in every[::7])
            return
        named = False
        for day in every:
            if day.day == 1:
                yield day, f"{day:%b}" if named and day.month > 1 else f"{day:%b %Y}"
                named = True

    def values_upwards(self) -> Iterator[Markup]:
        """Fine lines and figures at round values."""
        for value in ticks(self.low, self.high):
            y = self.y(value)
            yield line(LEFT, y, self.right, y, "grid")
            yield words(LEFT - 6, y + 4, f"{value:g}", "end")


def ticks(low: float, high: float) -> list[float]:
    """At most five round values from low to high."""
    raw = (high - low) / MOST_TICKS
    power = 10.0 ** math.floor(math.log10(raw))
    step = next(size * power for size in STEPS if size * power >= raw * 0.999)
    first = math.ceil(low / step - 1e-9)
    return [round(number * step, 10) for number in range(first, math.floor(high / step + 1e-9) + 1)]


def day_words(day: dt.date) -> str:
    """A day as it is written on the page."""
    return f"{day.day} {day:%b %Y}"


def line(x1: float, y1: float, x2: float, y2: float, look: str) -> Markup:
    """A straight line of a look (a class of the page)."""
    return tag("line", x1=f"{x1:.1f}", y1=f"{y1:.1f}", x2=f"{x2:.1f}", y2=f"{y2:.1f}", class_=look)


def rect(x: float, y: float, width: float, height: float, look: str, fill: str = "") -> Markup:
    """A box of a look, at least a unit wide; ``fill`` names a pattern."""
    return tag("rect", x=f"{x:.1f}", y=f"{y:.1f}", width=f"{max(width, 1.0):.1f}", height=f"{max(height, 0.0):.1f}",
               class_=look, fill=f"url(#{fill})" if fill else "")


def path(points: list[tuple[float, float]], look: str, *, closed: bool = False) -> Markup:
    """A line through points, or the area within it."""
    along = "L".join(f"{x:.1f} {y:.1f}" for x, y in points)
    return tag("path", d=f"M{along}{'Z' if closed else ''}", class_=look)


def words(x: float, y: float, text: str, anchor: str, look: str = "") -> Markup:
    """Words in a picture."""
    return tag("text", text, x=f"{x:.1f}", y=f"{y:.1f}", text_anchor=anchor, class_=look)
