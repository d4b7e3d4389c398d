"""The desk as self-contained pages: the list, one case, and the report."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence

from diagnose.desk.club import Club
from diagnose.desk.judge import Judged
from diagnose.model.cases import DeskCase
from diagnose.model.desk import OrderRules
from diagnose.model.knowledge import KnowledgeBase
from diagnose.model.result import CauseFound
from diagnose.reason.calibration import Report
from diagnose.reason.similar import Alike
from diagnose.reason.triage import Due, Ranked
from diagnose.screen.card import percent
from diagnose.screen.chart import calibration_chart
from diagnose.screen.marking import Piece, marked
from diagnose.screen.notices import Notice
from diagnose.screen.page import Markup, definitions, joined, listed, page, tag
from diagnose.screen.triage_case import alike_words, facts_of, hurts_of, look_alikes_of
from diagnose.screen.triage_report import BAND_HEADS, CAUSE_HEADS, band_row, cause_row, club_words, summary
from diagnose.screen.triage_words import (
    causes_of,
    counts,
    due_words,
    holder,
    plant_of,
    problem_of,
    share_words,
    standing_of,
    urgency_words,
)

__all__ = ["case_page", "list_page", "report_page"]

_CLASSES = {"today": "today", "this week": "week"}


def list_page(base: KnowledgeBase, cases: Sequence[DeskCase], ranked: Sequence[Ranked], found: Iterable[Notice],
              due: Sequence[Due], today: dt.date) -> str:
    """The list of cases, with what is going round on top and what is due at the end."""
    rows = [_row(base, place, entry) for place, entry in enumerate(ranked, 1)]
    heads = ("", "case", "plant", "how soon", "likely", "missing", "standing")
    parts: list[Markup | str] = [tag("h1", f"Cases on {today.isoformat()}"),
                                 tag("p", counts(cases, due), class_="soft")]
    parts += [_notice(notice) for notice in found]
    parts.append(_table(heads, rows))
    if due:
        parts += [tag("h2", "To be looked at again"),
                  listed(f"{entry.case}: {due_words(entry, today)} {entry.by}" for entry in due)]
    return page(f"Cases on {today.isoformat()}", *parts)


def _row(base: KnowledgeBase, place: int, ranked: Ranked) -> list[Markup | str]:
    case = ranked.case
    if case.glance is None:
        return [str(place), tag("b", case.case_file.case), "", "", "this file cannot be read", problem_of(case), ""]
    causes = listed(share_words(base, share) for share in causes_of(base, case))
    missing = case.glance.missing[0].question if case.glance.missing else ""
    asked = joined([missing, tag("p", f"To mend: {problem_of(case)}", class_="week")]) if case.problem else missing
    return [str(place), tag("b", case.case_file.case), plant_of(base, case),
            tag("span", urgency_words(ranked.urgency), class_=_CLASSES.get(ranked.urgency, "soft")), causes, asked,
            f"{standing_of(ranked)}, {holder(case.case_file)}"]


def _notice(notice: Notice) -> Markup:
    return tag("section", tag("h2", "Going round"), *(tag("p", tag("b", line)) for line in notice.found),
               listed(notice.tell), tag("p", f"{notice.test} Cases: {', '.join(notice.cases)}", class_="soft"),
               class_="box")


def case_page(base: KnowledgeBase, order: OrderRules, judged: Judged, earlier: Sequence[Alike]) -> str:
    """One case: the letter with what was understood marked, the causes, look-alikes and earlier cases."""
    file, result = judged.case_file, judged.result
    parts: list[Markup | str] = [tag("h1", f"Case {file.case}"), definitions(facts_of(file))]
    parts += [tag("p", f"Before the plant: {why}", class_="box today") for why in hurts_of(order, judged)]
    parts += [tag("h2", "The letter"), _letter(marked(file.letter, result.understood.signs)),
              tag("p", "Marked: what was understood; point at it to see as what.", class_="soft")]
    if result.understood.not_understood:
        parts += [tag("p", "Not understood: " + "; ".join(result.understood.not_understood[:8]), class_="soft")]
    parts += [tag("h2", "What it probably is"), *(_cause(cause) for cause in result.causes[:3])]
    if not result.causes:
        parts.append(tag("p", "No sign of trouble was understood, so no cause is named."))
    others = [f"{cause.name}: {cause.grade}, {percent(cause.probability)}" for cause in result.causes[3:8]]
    for title, lines in (("Also possible", others), ("What to ask back", [ask.question for ask in result.ask_next]),
                         ("Keep in mind", look_alikes_of(base, judged)),
                         ("Earlier cases like it", [alike_words(base, alike) for alike in earlier])):
        parts += [tag("h2", title), listed(lines)] if lines else []
    return page(f"Case {file.case}", *parts)


def _letter(pieces: Iterable[Piece]) -> Markup:
    return tag("div", *(tag("mark", piece.text, class_=piece.state, title=f"{piece.state}: {'; '.join(piece.signs)}")
                        if piece.state else piece.text for piece in pieces), class_="letter")


def _cause(cause: CauseFound) -> Markup:
    head = tag("h3", f"{cause.name}: {cause.grade}, {percent(cause.probability)}{', spreads' if cause.spreads else ''}")
    lines: list[tuple[str, Markup | str]] = [("how soon", urgency_words(cause.urgency))]
    lines += [(name, listed(texts)) for name, texts in (
        ("why", [f"{found.finding}: {found.because}" for found in cause.for_[:4]]),
        ("against", [f"{found.finding}: {found.because}" for found in cause.against[:2]]),
        ("to settle it", cause.settle[:2]), ("do", cause.do), ("do not", cause.do_not),
        ("take care", cause.cautions)) if texts]
    lines.append(("expect", cause.expect))
    return tag("section", head, definitions(lines), class_="box")


def report_page(base: KnowledgeBase, report: Report, club: Club) -> str:
    """The report with its picture."""
    parts: list[Markup | str] = [tag("h1", "How right we were"), *(tag("p", line) for line in summary(report))]
    if report.bands:
        parts += [calibration_chart(report.bands), _table(BAND_HEADS, [list(band_row(band)) for band in report.bands])]
    if report.causes:
        parts += [tag("h2", "What it proved to be"),
                  _table(CAUSE_HEADS, [list(cause_row(base, row)) for row in report.causes]),
                  tag("p", "Book: the share of a cause the rule base goes by. Both: the book and this club's outcomes "
                      "together.", class_="soft")]
    parts.append(tag("p", club_words(club)))
    return page("How right we were", *parts)


def _table(heads: Iterable[str], rows: Iterable[Sequence[Markup | str]]) -> Markup:
    head = tag("tr", *(tag("th", text) for text in heads))
    return tag("div", tag("table", tag("thead", head), tag("tbody", *(tag("tr", *(tag("td", cell) for cell in row))
                                                                      for row in rows))), class_="wide")
