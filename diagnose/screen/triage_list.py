"""The list of cases in the terminal: what is going round on top, then the cases, worst first."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence

from rich.console import Console, Group, RenderableType
from rich.padding import Padding
from rich.rule import Rule
from rich.table import Table
from rich.text import Text

from diagnose.model.cases import DeskCase
from diagnose.model.knowledge import KnowledgeBase
from diagnose.reason.triage import Due, Ranked
from diagnose.screen.harmless import harmless, shortened
from diagnose.screen.notices import Notice
from diagnose.screen.triage_choice import Page
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

__all__ = ["show_due", "show_list", "show_notices"]


def show_list(console: Console, base: KnowledgeBase, cases: Sequence[DeskCase], due: Sequence[Due], page: Page) -> None:
    """Print the counts and a page of the list."""
    console.print(Text(counts(cases, due)))
    if not page.cases:
        console.print(Text("No case is as asked for. --state all shows every one."))
    for place, ranked in enumerate(page.cases, page.first):
        console.print(_entry(base, place, ranked))
    if page.of > 1:
        more = f" The next is --page {page.number + 1}." if page.number < page.of else ""
        console.print(Text(f"\nPage {page.number} of {page.of}, {page.total} cases.{more}", style="dim"))
    if page.cases:
        console.print(Text("One of them: --case ID", style="dim"))


def _entry(base: KnowledgeBase, place: int, ranked: Ranked) -> RenderableType:
    case = ranked.case
    table = Table.grid(padding=(0, 1))
    table.add_column(width=5, justify="right")
    table.add_column(overflow="fold")
    head = Text.assemble((shortened(case.case_file.case, 60), "bold"), "   ")
    if case.glance is None:
        head.append("this file cannot be read", style="bold red")
        table.add_row(f"{place}.", head)
        table.add_row("", Text(f"{harmless(case.case_file.file)}: {problem_of(case)}"))
        return Padding(table, (1, 0, 0, 0))
    style = "bold red" if ranked.urgency == "today" else "yellow" if ranked.urgency == "this week" else ""
    head.append(f"{plant_of(base, case)}   ")
    head.append(urgency_words(ranked.urgency), style=style)
    head.append(f"   {standing_of(ranked)}   {holder(case.case_file)}")
    table.add_row(f"{place}.", head)
    causes = [share_words(base, share) for share in causes_of(base, case)] or ["nothing was understood of the letter"]
    table.add_row("", Text("; ".join(causes)))
    if case.glance.missing:
        table.add_row("", Text(f"missing: {case.glance.missing[0].question}", style="dim"))
    if case.problem:
        table.add_row("", Text(f"to mend: {problem_of(case)}", style="yellow"))
    return Padding(table, (1, 0, 0, 0))


def show_notices(console: Console, found: Iterable[Notice]) -> None:
    """Print what is going round."""
    for notice in found:
        lines = [Text(harmless(line), style="bold") for line in notice.found]
        lines += [Text(harmless(notice.test), style="dim"), *(Text(harmless(line)) for line in notice.tell),
                  Text(f"Cases: {', '.join(harmless(case) for case in notice.cases)}", style="dim")]
        console.print(Group(Rule("going round", style="red"), *lines, Rule(style="red")))


def show_due(console: Console, due: Sequence[Due], today: dt.date) -> None:
    """Print what is to be looked at again, by date."""
    if not due:
        console.print(Text("Nothing is to be looked at again."))
    for found in due:
        style = "bold red" if found.days_left < 0 else "bold" if found.days_left == 0 else ""
        who = f"promised by {shortened(found.by, 30)}" if found.by and found.promised else ""
        console.print(Text.assemble((due_words(found, today), style), f"   {shortened(found.case, 60)}   {who}"))
