"""Pictures of temperature, humidity, vapour pressure deficit and light, day by day, with what the group wants."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence

from diagnose.model.history import History, Series
from diagnose.screen.html.damage import ShownWindow, onset_line, shaded
from diagnose.screen.html.figure import figure
from diagnose.screen.html.frame import LEFT, TOP, Frame, Size, day_words, line, rect, words
from diagnose.screen.html.runs import area, curve, runs
from diagnose.screen.page import Markup
from diagnose.screen.quantities import LOOKS, Look, Wanted

__all__ = ["climate_figure", "summary"]


def climate_figure(series: Series, history: History, want: Wanted | None, windows: Sequence[ShownWindow],
                   onset: dt.date | None) -> Markup:
    """The picture of one quantity."""
    look = LOOKS[series.quantity]
    low, high = _scale(series, look, want)

    def draw(size: Size, slant: str) -> Iterator[Markup]:
        frame = Frame(size, history.first, history.last, low, high)
        if want:
            yield _band(frame, look, want)
        yield from frame.days_across()
        yield from frame.values_upwards()
        for run in runs(series.days):
            yield area(frame, run, lambda day: day.low / look.per_unit, lambda day: day.high / look.per_unit, "range")
            yield curve(frame, run, lambda day: day.mean / look.per_unit, "mean")
        if want:
            yield from _limits(frame, look, want)
        yield from shaded(frame, windows, series.quantity, slant)
        yield from onset_line(frame, onset)

    return figure(series.quantity, f"{look.name}, {look.unit}", summary(series, history, want), draw)


def _scale(series: Series, look: Look, want: Wanted | None) -> tuple[float, float]:
    """From the least to the most that is shown, in shown units, with a little room."""
    limits = [limit for limit in (want.low, want.high) if limit is not None] if want else []
    values = [*(day.low for day in series.days), *(day.high for day in series.days), *limits]
    low, high = min(values) / look.per_unit, max(values) / look.per_unit
    room = max((high - low) * 0.08, 10.0 ** -look.digits)
    least = low - room if look.floor is None else max(look.floor, low - room)
    return least, high + room if look.ceiling is None else min(look.ceiling, high + room)


def _band(frame: Frame, look: Look, want: Wanted) -> Markup:
    """What is wanted, shaded."""
    top = TOP if want.high is None else frame.y(want.high / look.per_unit)
    bottom = frame.floor if want.low is None else frame.y(want.low / look.per_unit)
    return rect(LEFT, top, frame.right - LEFT, bottom - top, "wanted")


def _limits(frame: Frame, look: Look, want: Wanted) -> Iterator[Markup]:
    """The edges of what is wanted, dashed; where harm begins, dotted, if the picture reaches so far."""
    for limit in (want.low, want.high):
        if limit is not None:
            y = frame.y(limit / look.per_unit)
            yield line(LEFT, y, frame.right, y, "edge")
    for harm, side in ((want.harm_low, "below"), (want.harm_high, "above")):
        if harm is not None and frame.low < harm / look.per_unit < frame.high:
            y = frame.y(harm / look.per_unit)
            yield line(LEFT, y, frame.right, y, "harm")
            yield words(frame.right - 4, y - 4, f"harm {side} {harm / look.per_unit:g}", "end", "note")


def summary(series: Series, history: History, want: Wanted | None) -> str:
    """What the picture shows, in words."""
    look, days = LOOKS[series.quantity], series.days
    least, most = min(days, key=look.low_side), max(days, key=look.high_side)
    also = f"{look.high_words} " if look.high_words != look.low_words else ""
    parts = [f"{_first_up(look.low_words)} went down to {look.told(look.low_side(least))} ({day_words(least.day)}), "
             f"{also}up to {look.told(look.high_side(most))} ({day_words(most.day)})."]
    if want and want.low is not None:
        below = sum(look.low_side(day) < want.low for day in days)
        parts.append(f"{_first_up(look.low_words)} was below the wanted {look.told(want.low)} on {below or 'none'} of "
                     f"{len(days)} days.")
    if want and want.high is not None:
        above = sum(look.high_side(day) > want.high for day in days)
        parts.append(f"{_first_up(look.high_words)} was above {look.told(want.high)} on {above or 'none'}.")
    if want and want.how:
        parts.append(f"Wanted is reckoned: {want.how}.")
    parts += [look.remark] if look.remark else []
    missing = history.length - len(days)
    parts += [f"Too little is known of {missing} days; they are left blank."] if missing else []
    return " ".join(parts)


def _first_up(text: str) -> str:
    return text[:1].upper() + text[1:]
