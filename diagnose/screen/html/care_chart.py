"""What was done, as marks along the days, with the windows in which the damage arose above it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence

from diagnose.intake.records.terms import ACTIONS
from diagnose.model.history import CareDeed, History
from diagnose.model.knowledge import KnowledgeBase
from diagnose.screen.html.damage import ShownWindow
from diagnose.screen.html.figure import figure
from diagnose.screen.html.frame import BOTTOM, LEFT, TOP, Frame, Size, day_words, line, rect, words
from diagnose.screen.page import Markup, tag

__all__ = ["care_figure", "deed_words"]

ROW = 19.0
LEAST_ROOM = 64.0  # for words beside the line of the onset


def care_figure(base: KnowledgeBase, history: History, windows: Sequence[ShownWindow], onset: dt.date | None
                ) -> Markup:
    """The picture of windows and care; there must be some of either."""
    shown = [window for window in windows if window.last >= history.first]
    rows = _rows(history.care)
    height = TOP + ROW * (len(shown) + len(rows)) + 6 + BOTTOM

    def draw(size: Size, slant: str) -> Iterator[Markup]:
        frame = Frame(size, history.first, history.last)
        yield from frame.days_across()
        for number, window in enumerate(shown):
            yield from _bar(frame, window, TOP + ROW * number, slant)
        for number, (action, deeds) in enumerate(rows.items(), len(shown)):
            yield from _marks(base, frame, action, deeds, TOP + ROW * (number + 0.5))
        yield from _onset(frame, onset)

    heading = "What was done, and when the damage arose" if shown else "What was done"
    return figure("care", heading, _summary(history, rows), draw, height=height)


def _rows(care: Sequence[CareDeed]) -> Mapping[str, list[CareDeed]]:
    """The deeds by action, in the order of the care log's list of actions."""
    found = {action: [deed for deed in care if deed.action == action] for action in ACTIONS}
    return {action: deeds for action, deeds in found.items() if deeds}


def _bar(frame: Frame, window: ShownWindow, top: float, slant: str) -> Iterator[Markup]:
    left, right = frame.x(window.first, 0.0), frame.x(window.last, 1.0)
    yield words(LEFT - 6, top + ROW / 2 + 4, str(window.number), "end", "number")
    yield rect(left, top + 3, right - left, ROW - 6, "window", slant)
    yield rect(left, top + 3, right - left, 3, "bar")


def _marks(base: KnowledgeBase, frame: Frame, action: str, deeds: Sequence[CareDeed], y: float) -> Iterator[Markup]:
    yield words(LEFT - 6, y + 4, action, "end")
    yield line(LEFT, y, frame.right, y, "grid")
    for deed in deeds:
        said = tag("title", f"{day_words(deed.day)}: {deed_words(base, deed)}")
        yield tag("circle", said, cx=f"{frame.x(deed.day):.1f}", cy=f"{y:.1f}", r="3.4", class_="deed")


def _onset(frame: Frame, onset: dt.date | None) -> Iterator[Markup]:
    if onset is None or not frame.first <= onset <= frame.last:
        return
    x = frame.x(onset)
    yield line(x, TOP - 4, x, frame.floor, "onset")
    crowded = x + LEAST_ROOM > frame.right
    yield words(x, TOP - 8, "first seen", "end" if crowded else "middle")


def deed_words(base: KnowledgeBase, deed: CareDeed) -> str:
    """An action with its amount and detail; signs and stages by their names."""
    sign = base.signs.get(deed.detail)
    detail = sign.name.lower() if sign else deed.detail.replace("_", " ") if deed.action == "stage" else deed.detail
    return ", ".join(part for part in (deed.action, deed.amount, detail) if part)


def _summary(history: History, rows: Mapping[str, list[CareDeed]]) -> str:
    counts = ", ".join(f"{action} {len(deeds)} {'time' if len(deeds) == 1 else 'times'}"
                       for action, deeds in rows.items())
    since = f"From {day_words(history.first)} to {day_words(history.last)}"
    return f"{since}: {counts}." if counts else f"{since} no care is logged."
