"""The whole page of one plant."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence

from diagnose.model.history import History
from diagnose.model.knowledge import KnowledgeBase
from diagnose.model.report import Report
from diagnose.screen.html.answer import answer, headline, others, sources, to_ask
from diagnose.screen.html.care_chart import care_figure
from diagnose.screen.html.climate_chart import climate_figure
from diagnose.screen.html.damage import ShownWindow, shown_windows, window_words
from diagnose.screen.html.figure import swatch
from diagnose.screen.html.frame import day_words, line, rect
from diagnose.screen.html.style import STYLE
from diagnose.screen.html.tables import by_week, care_table, folded, measures_table
from diagnose.screen.html.understood import marked_letter, plant_words
from diagnose.screen.html.water_chart import water_figure
from diagnose.screen.page import Markup, listed, page, tag
from diagnose.screen.quantities import wanted

__all__ = ["letter_page"]


def letter_page(base: KnowledgeBase, report: Report) -> str:
    """The answer, the letter, and the records where there are any, as one self-contained page."""
    result, date = report.result, day_words(dt.date.fromisoformat(report.result.date))
    plant = f"{report.history.plant}, " if report.history else ""
    kind = plant_words(base, result.understood)
    head = tag("header", tag("p", f"{plant}{kind} · judged as of {date}", class_="soft"), tag("h1", headline(result)))
    body = [head, *answer(base, result), *to_ask(result), *others(result),
            *marked_letter(base, report.letter, result.understood), *_records(base, report), *sources(base, result),
            _footer()]
    return page(f"{headline(result)}: {plant}{date}", *body, style=STYLE)


def _records(base: KnowledgeBase, report: Report) -> Iterator[Markup]:
    if report.result.records is None:
        return
    yield tag("h2", "The records")
    if report.history is not None:
        yield from _pictures(base, report, report.history)
    yield folded("Figures that the rules looked at", measures_table(base, report.result.records.measures))
    if report.result.records.notes:
        yield tag("h3", "Guessed, left out or missing")
        yield listed(report.result.records.notes)


def _pictures(base: KnowledgeBase, report: Report, history: History) -> Iterator[Markup]:
    windows = shown_windows(base, report)
    if windows:
        yield tag("h3", "When the damage arose")
        yield listed((window_words(window) for window in windows), steps=True)
    yield _key(report, windows)
    if history.care or windows:
        yield care_figure(base, history, windows, report.onset)
    for series in history.series:
        yield climate_figure(series, history, wanted(report.group, series.quantity), windows, report.onset)
    if history.water:
        yield water_figure(history.water, history, windows, report.onset)
    yield folded("The same in figures, by week", by_week(history))
    if history.care:
        yield folded("What was done, row by row", care_table(base, history))


def _key(report: Report, windows: Sequence[ShownWindow]) -> Markup:
    """What the looks in the pictures stand for."""
    group = report.group
    whose = "what the group wants" if group and group.id != "unknown" else "what most groups want (kind not told)"
    found = [
        swatch("range", "the day's lowest to highest", rect(1, 3, 26, 8, "range")),
        swatch("mean", "the day's mean, or the best estimate", line(1, 7, 27, 7, "mean")),
        swatch("wanted", whose, rect(1, 2, 26, 10, "wanted"), line(1, 2, 27, 2, "edge"), line(1, 12, 27, 12, "edge")),
    ]
    if windows:
        found.append(swatch("window", "when the damage arose", rect(1, 3, 26, 10, "window", "window-key"),
                            rect(1, 1, 26, 3, "bar")))
    if report.onset:
        found.append(swatch("onset", "the trouble was first seen", line(14, 0, 14, 14, "onset")))
    if report.history and report.history.water:
        found.append(swatch("due", "time to water", rect(1, 3, 26, 8, "due")))
        if report.history.water.reservoir_ml:
            found.append(swatch("reservoir", "left in the reservoir", line(1, 7, 27, 7, "reservoir")))
    return tag("ul", *found, class_="key")


def _footer() -> Markup:
    return tag("footer", tag("p", "These are beliefs from published signs and from what growers report, not "
                             "measurements, and nobody has looked at the plant. Where chemicals, blades, flames or "
                             "electricity are involved, the product label, local rules and licensed practice come "
                             "first."))
