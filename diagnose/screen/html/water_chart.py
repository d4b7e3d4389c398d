"""The picture of the water in the pot: what is left at the roots, and in the reservoir where there is one."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence

from diagnose.model.history import History, WaterHistory
from diagnose.screen.html.damage import ShownWindow, onset_line, shaded
from diagnose.screen.html.figure import figure
from diagnose.screen.html.frame import LEFT, Frame, Size, line, rect
from diagnose.screen.html.runs import area, curve, runs
from diagnose.screen.page import Markup

__all__ = ["water_figure"]

EMPTY_SHARE = 0.005


def water_figure(water: WaterHistory, history: History, windows: Sequence[ShownWindow], onset: dt.date | None
                 ) -> Markup:
    """The picture of the water balance."""
    def draw(size: Size, slant: str) -> Iterator[Markup]:
        frame = Frame(size, history.first, history.last, 0.0, 105.0)
        due = frame.y(100 * water.due_share)
        yield rect(LEFT, due, frame.right - LEFT, frame.floor - due, "due")
        yield line(LEFT, due, frame.right, due, "edge")
        yield from frame.days_across()
        yield from frame.values_upwards()
        for run in runs(water.days):
            yield area(frame, run, lambda day: 100 * day.least_share, lambda day: 100 * day.most_share, "range")
            if water.reservoir_ml:
                yield curve(frame, run, lambda day: 100 * (day.reservoir_share or 0.0), "reservoir")
            yield curve(frame, run, lambda day: 100 * day.share, "mean")
        yield from shaded(frame, windows, "water", slant)
        yield from onset_line(frame, onset)

    return figure("water", "Water in the pot, % of full", _summary(water), draw)


def _summary(water: WaterHistory) -> str:
    below = sum(day.share < water.due_share and not day.reservoir_share for day in water.days)
    parts = [f"Reckoned day by day from what was given and how the air dries: at the roots {water.usable_ml:.0f} ml "
             f"when full, and time to water below {100 * water.due_share:.0f} %.",
             f"That was so on {below or 'none'} of {len(water.days)} days."]
    if water.reservoir_ml:
        empty = sum((day.reservoir_share or 0.0) < EMPTY_SHARE for day in water.days)
        parts.append(f"The reservoir of {water.reservoir_ml:.0f} ml was empty on {empty or 'none'}.")
    parts.append("The pale area is how far the roots' share may be off.")
    parts.append("How fast the pot loses water was learned from the log." if water.learned else
                 "How fast this pot loses water is not known from the log; the usual rate was taken.")
    return " ".join(parts)
