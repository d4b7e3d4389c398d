"""When the damage arose: the windows of the leading causes, numbered, in words and in pictures."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence

from diagnose.frozen import frozen
from diagnose.model.history import DamageWindow
from diagnose.model.knowledge import KnowledgeBase
from diagnose.model.report import Report
from diagnose.screen.card import leading
from diagnose.screen.html.frame import TOP, Frame, day_words, line, rect, words
from diagnose.screen.page import Markup, tag

__all__ = ["ShownWindow", "hatching", "onset_line", "shaded", "shown_windows", "window_words"]

NO_BREAK = "\u00a0"
_WATER, _CARE = "water", "care"
_QUANTITIES = {"dew": "humidity", "photons": "light"}  # shown with what they come from


@frozen
class ShownWindow:
    """Windows of the same days as one, with what held then, and the pictures it belongs to."""

    number: int
    first: dt.date
    last: dt.date
    lines: tuple[str, ...]
    pictures: frozenset[str]


def shown_windows(base: KnowledgeBase, report: Report) -> tuple[ShownWindow, ...]:
    """The windows of the leading causes in the order of time."""
    causes = {cause.cause for cause in leading(report.result)} if report.result.causes else set()
    together: dict[tuple[dt.date, dt.date], list[DamageWindow]] = {}
    for window in sorted(report.windows, key=lambda window: (window.first, window.last)):
        if window.cause in causes:
            together.setdefault((window.first, window.last), []).append(window)
    return tuple(ShownWindow(number, *days, tuple(dict.fromkeys(_line(base, window) for window in found)),
                             frozenset(_picture(window.measure) for window in found))
                 for number, (days, found) in enumerate(together.items(), 1))


def _line(base: KnowledgeBase, window: DamageWindow) -> str:
    kind = base.measures.get(window.measure)
    shown = window.shown.replace(" ", NO_BREAK) if kind else window.shown
    measured = f"{kind.name.lower()} {shown}" if kind else shown
    return f"{window.name} ({measured})" if window.name and measured else window.name or measured


def _picture(measure: str) -> str:
    from diagnose.intake.records.climate_measures import CLIMATE_MEASURES  # both load much that only records need
    from diagnose.intake.records.water_balance import WATER_MEASURES
    if measure in CLIMATE_MEASURES:
        quantity = CLIMATE_MEASURES[measure].quantity
        return _QUANTITIES.get(quantity, quantity)
    return _WATER if measure in WATER_MEASURES else _CARE


def window_words(window: ShownWindow) -> str:
    """A window in words."""
    days = (day_words(window.first) if window.first == window.last
            else f"{day_words(window.first)} to {day_words(window.last)}")
    return f"{days}: {'; '.join(window.lines)}"


def hatching(name: str) -> Markup:
    """The slanting lines with which windows are filled, under a name of their own."""
    stroke = tag("line", x1="0", y1="0", x2="0", y2="6", class_="slant")
    pattern = tag("pattern", stroke, id=name, width="6", height="6", patternUnits="userSpaceOnUse",
                  patternTransform="rotate(45)")
    return tag("defs", pattern)


def shaded(frame: Frame, windows: Sequence[ShownWindow], picture: str, fill: str) -> Iterator[Markup]:
    """The windows that belong to a picture, hatched, with a bar and their numbers on top."""
    for first, last, numbers in _joined([each for each in windows if picture in each.pictures
                                         and each.last >= frame.first and each.first <= frame.last]):
        left, right = frame.x(first, 0.0), frame.x(last, 1.0)
        yield rect(left, TOP, right - left, frame.floor - TOP, "window", fill)
        yield rect(left, TOP - 4, right - left, 4, "bar")
        yield words((left + right) / 2, TOP - 7, ", ".join(map(str, numbers)), "middle", "number")


def _joined(windows: Sequence[ShownWindow]) -> list[tuple[dt.date, dt.date, list[int]]]:
    """Windows that share days as one stretch each, with their numbers."""
    found: list[tuple[dt.date, dt.date, list[int]]] = []
    for window in windows:
        if found and window.first <= found[-1][1] + dt.timedelta(1):
            first, last, numbers = found[-1]
            found[-1] = (first, max(last, window.last), [*numbers, window.number])
        else:
            found.append((window.first, window.last, [window.number]))
    return found


def onset_line(frame: Frame, onset: dt.date | None) -> Iterator[Markup]:
    """A line at the day since when the trouble is told to be there."""
    if onset is not None and frame.first <= onset <= frame.last:
        x = frame.x(onset)
        yield line(x, TOP - 4, x, frame.floor, "onset")
