"""The records in a few small lines of plain characters, for the card in the terminal."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence

from rich.console import Console, RenderableType
from rich.table import Table
from rich.text import Text

from diagnose.intake.records.terms import WETTING
from diagnose.model.history import DamageWindow, DayRange, History
from diagnose.model.report import Report
from diagnose.screen.card import leading
from diagnose.screen.quantities import LOOKS, Look, wanted
from diagnose.screen.weeks import WEEK, Stretch, mean_of, stretches

__all__ = ["drawn", "levels_of", "small_lines"]

BLOCKS, ASCII = "▁▂▃▄▅▆▇█", "_.:-=+*#"
FEW_CHARACTERS = ("linux", "vt100", "vt102", "vt220")  # terminals that lack the blocks, whatever the encoding


def levels_of(console: Console) -> str:
    """Eight characters from low to high that this terminal can show."""
    plain = console.options.ascii_only or console.legacy_windows or os.environ.get("TERM") in FEW_CHARACTERS
    return ASCII if plain else BLOCKS


def drawn(values: Sequence[float | None], levels: str) -> str:
    """A character for each value between the least and the most of them; a blank where there is none."""
    known = [value for value in values if value is not None]
    least, span = min(known, default=0.0), max(known, default=0.0) - min(known, default=0.0)
    top = len(levels) - 1
    return "".join(" " if value is None else levels[round((value - least) / span * top) if span else top // 2]
                   for value in values)


def small_lines(report: Report, levels: str) -> tuple[RenderableType, ...]:
    """Climate, water and waterings of the records, and when the damage arose, a line each; nothing without records."""
    history = report.history
    if history is None or not (history.series or history.care):
        return ()
    over = stretches(history)
    table = Table.grid(padding=(0, 1))
    table.add_column(width=13)
    table.add_column(no_wrap=True)
    table.add_column(overflow="fold")
    for name, line, words in _rows(report, history, over, levels):
        table.add_row(Text(name, style="dim"), Text(line), Text(words, style="dim"))
    unit = "week" if over and over[0].first != over[0].last else "day"
    title = Text(f"The last {len(over)} {unit}s, a character each, oldest first; blank: not known", style="dim")
    return title, table, Text("")


def _rows(report: Report, history: History, over: Sequence[Stretch], levels: str) -> Iterator[tuple[str, str, str]]:
    for series in history.series:
        look, want = LOOKS[series.quantity], wanted(report.group, series.quantity)
        low, high = (want.low, want.high) if want else (None, None)
        if series.quantity == "temperature":
            yield ("Nights", *_line(look, mean_of(series.days, over, look.low_side), low, None, levels))
            yield ("Days", *_line(look, mean_of(series.days, over, look.high_side), None, high, levels))
        else:
            name = {"deficit": "VPD"}.get(series.quantity, look.name)
            yield (name, *_line(look, mean_of(series.days, over, look.low_side), low, high, levels))
    if history.water is not None:
        shares = [DayRange(day.day, day.share, day.share, day.share) for day in history.water.days]
        values = mean_of(shares, over, lambda day: day.mean)
        yield "Water", drawn(values, levels), f"at the roots; due below {100 * history.water.due_share:.0f} %"
    if any(deed.action in WETTING for deed in history.care):
        counts = [sum(deed.action in WETTING and each.holds(deed.day) for deed in history.care) for each in over]
        yield "Watered", "".join(str(min(count, 9)) if count else " " for count in counts), "times"
    marks = _damage(report, over)
    if marks.strip():
        yield "Damage arose", marks, ""


def _line(look: Look, values: Sequence[float | None], low: float | None, high: float | None, levels: str
          ) -> tuple[str, str]:
    known = [value for value in values if value is not None]
    if not known:
        return drawn(values, levels), "not known"
    outside = sum((low is not None and value < low) or (high is not None and value > high) for value in known)
    limits = _limits(look, low, high)
    told = f"; {outside or 'none'} {limits}" if limits else ""
    return drawn(values, levels), f"{look.figure(min(known))} to {look.told(max(known))}{told}"


def _limits(look: Look, low: float | None, high: float | None) -> str:
    """What is not wanted, in words; empty where nothing is known of it."""
    lowest, highest = (None if limit is None else f"{float(look.figure(limit)):g}" for limit in (low, high))
    if lowest and highest:
        return f"not {lowest} to {highest}"
    return f"under {lowest}" if lowest else f"over {highest}" if highest else ""


def _damage(report: Report, over: Sequence[Stretch]) -> str:
    """A mark for each stretch in which a window of a leading cause lies for most of its days."""
    causes = {cause.cause for cause in leading(report.result)} if report.result.causes else set()
    windows = [window for window in report.windows if window.cause in causes]
    return "".join("^" if any(_within(window, each) for window in windows) else " " for each in over)


def _within(window: DamageWindow, stretch: Stretch) -> bool:
    shared = (min(window.last, stretch.last) - max(window.first, stretch.first)).days + 1
    return shared * 2 > min(WEEK, (stretch.last - stretch.first).days + 1) or (
        window.first == window.last and stretch.holds(window.first))
