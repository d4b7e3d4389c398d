"""The records as tables: figures by week, the care log row by row, and the figures that the rules used."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from diagnose.intake.records.terms import WETTING
from diagnose.model.history import History
from diagnose.model.knowledge import KnowledgeBase
from diagnose.model.result import RecordMeasure
from diagnose.screen.html.care_chart import deed_words
from diagnose.screen.html.frame import day_words
from diagnose.screen.page import Markup, tag
from diagnose.screen.quantities import LOOKS
from diagnose.screen.weeks import Stretch, mean_of, stretches

__all__ = ["by_week", "care_table", "folded", "measures_table", "table"]

_UNITS = {"C": "°C"}


def table(heads: Sequence[str], rows: Iterable[Sequence[Markup | str]], numbers_from: int = 99) -> Markup:
    """A table; from a column on the cells are figures and stand to the right."""
    def row(cells: Sequence[Markup | str], name: str) -> Markup:
        scope = "col" if name == "th" else ""
        return tag("tr", *(tag(name, cell, scope=scope, class_="number" if at >= numbers_from else "")
                           for at, cell in enumerate(cells)))

    body = tag("tbody", *(row(cells, "td") for cells in rows))
    return tag("div", tag("table", tag("thead", row(heads, "th")), body), class_="wide-table")


def folded(heading: str, *inside: Markup) -> Markup:
    """Something that opens on a click, and is left out on paper while it is closed."""
    return tag("details", tag("summary", heading), *inside, class_="more")


def by_week(history: History) -> Markup:
    """The climate, water and waterings of each week (or day)."""
    over = stretches(history)
    columns: list[tuple[str, list[str]]] = [("from", [day_words(each.first) for each in over])]
    for series in history.series:
        look = LOOKS[series.quantity]
        picks = ((("nights", look.low_side), ("days", look.high_side)) if look.low_side is not look.high_side
                 else (("", look.low_side),))
        for part, pick in picks:
            values = mean_of(series.days, over, pick)
            columns.append((" ".join(text for text in (look.name, part, look.unit) if text),
                            ["" if value is None else look.figure(value) for value in values]))
    columns += _water(history, over)
    return table([head for head, _ in columns], list(zip(*(cells for _, cells in columns), strict=True)), 1)


def _water(history: History, over: Sequence[Stretch]) -> Iterator[tuple[str, list[str]]]:
    if history.water:
        shares = {day.day: day.share for day in history.water.days}
        yield "Water left at its end, %", [f"{shares[each.last]:.0%}".rstrip("%") if each.last in shares else ""
                                          for each in over]
    if history.care:
        yield "Waterings", [str(sum(deed.action in WETTING and each.holds(deed.day) for deed in history.care))
                            for each in over]


def care_table(base: KnowledgeBase, history: History) -> Markup:
    """The care log, the latest first."""
    return table(("day", "what was done"),
                 [(day_words(deed.day), deed_words(base, deed)) for deed in reversed(history.care)])


def measures_table(base: KnowledgeBase, measures: Iterable[RecordMeasure]) -> Markup:
    """The figures that the rules looked at, with their windows."""
    rows = []
    for found in sorted(set(measures), key=lambda each: (each.measure, each.window_days, each.until)):
        kind = base.measures.get(found.measure)
        window = f"{found.window_days} days" if found.window_days else ""
        rows.append((kind.name if kind else found.measure, window, found.until,
                     f"{found.value:.4g} {_UNITS.get(found.unit, found.unit)}"))
    return table(("measure", "over", "until", "value"), rows, 3)
