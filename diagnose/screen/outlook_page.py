"""The page of an outlook: plants worst first, each with what threatens it and what the next weeks ask for."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.rule import Rule
from rich.table import Table
from rich.text import Text

from diagnose.model.outlook import Finding, Outlook, PlantOutlook, TaskDue
from diagnose.screen.card import percent
from diagnose.screen.harmless import harmless, shortened

__all__ = ["page"]

MOST_IN_FULL = 12  # plants of a large bench; the others are told in a line each
MOST_REASONS = 3
MOST_ADVICE = 3
MOST_NOTES = 6
LABEL = 7

_URGENCY = {"today": "act today", "this week": "act this week", "soon": "no hurry", "none": "nothing urgent"}


def page(outlook: Outlook, notes: Sequence[str]) -> RenderableType:
    """The page: findings plant by plant, the season by task, then what the records left open."""
    threatened = [plant for plant in outlook.plants if plant.findings]
    parts: list[RenderableType] = [_heading(outlook, threatened)]
    parts += [_plant(plant) for plant in threatened[:MOST_IN_FULL]]
    parts += _in_short(threatened[MOST_IN_FULL:])
    cautions = dict.fromkeys(text for plant in threatened[:MOST_IN_FULL] for finding in plant.findings
                             for text in finding.cautions)
    if cautions:
        parts += [Text("\nTake care", style="bold"), _list(cautions)]
    parts += _season(outlook)
    if notes:
        parts += [Text("\nWhat the records leave open", style="bold"), _list(_notes(notes))]
    return Group(*parts)


def _heading(outlook: Outlook, threatened: Sequence[PlantOutlook]) -> RenderableType:
    fine = len(outlook.plants) - len(threatened)
    plants = f"{len(outlook.plants)} plant{'s' * (len(outlook.plants) != 1)}"
    if not threatened:
        return Text(f"Outlook of {outlook.date:%d %B %Y} over {plants}: nothing in the records gives cause for worry.",
                    style="bold")
    rest = f"; the records of the other {fine} give no cause for worry" if fine else ""
    return Text(f"Outlook of {outlook.date:%d %B %Y} over {plants}, worst first{rest}.", style="bold")


def _plant(plant: PlantOutlook) -> RenderableType:
    about = ", ".join(part for part in (plant.group, plant.place) if part)
    blocks: list[RenderableType] = [Rule(harmless(f"{plant.plant}  {about}"), align="left", style="dim")]
    blocks += [_finding(finding) for finding in plant.findings]
    return Group(Text(""), *blocks)


def _finding(finding: Finding) -> RenderableType:
    heading = Text.assemble((finding.name, "bold"), f"   {percent(finding.probability)}, {_URGENCY[finding.urgency]}")
    table = Table.grid(padding=(0, 1))
    table.add_column(width=LABEL)
    table.add_column(width=1)
    table.add_column(overflow="fold")
    rows = [("Because", finding.because[:MOST_REASONS]), ("Ahead", [finding.first] if finding.first else []),
            ("Now", finding.do[:MOST_ADVICE]), ("Not", finding.do_not[:1])]
    for label, lines in rows:
        for number, line in enumerate(lines):
            table.add_row(Text("" if number else label, style="dim"), Text("-"), Text(harmless(line)))
    return Group(heading, Padding(table, (0, 0, 1, 2)))


def _in_short(plants: Sequence[PlantOutlook]) -> list[RenderableType]:
    if not plants:
        return []
    table = Table.grid(padding=(0, 1))
    table.add_column()
    table.add_column(overflow="fold")
    for plant in plants:
        causes = ", ".join(f"{finding.name.lower()} {percent(finding.probability)}" for finding in plant.findings)
        table.add_row(Text(harmless(plant.plant), style="bold"), Text(causes))
    return [Text("\nThe others in short (--plant ID shows one in full)", style="bold"), table]


def _season(outlook: Outlook) -> list[RenderableType]:
    """Tasks of the bench, soonest first: what several plants ask for in the same words is said once."""
    told: dict[tuple[str, str], list[tuple[str, TaskDue]]] = {}
    for plant in outlook.plants:
        for task in plant.season:
            told.setdefault((task.do, task.because), []).append((plant.plant, task))
    if not told:
        return []
    entries = sorted(told.items(), key=lambda entry: min((task.first, task.last) for _, task in entry[1]))
    table = Table.grid(padding=(0, 1))
    table.add_column(width=16)
    table.add_column(overflow="fold")
    for (do, because), due in entries:
        plants = shortened(", ".join(plant for plant, _ in due), 160)
        table.add_row(Text(_span(outlook.date, [task for _, task in due]), style="dim"),
                      Text.assemble((plants, "bold"), f": {harmless(do)}", (f" {harmless(because)}", "dim")))
    return [Text("\nThe next weeks ask for", style="bold"), table]


def _span(date: dt.date, tasks: Sequence[TaskDue]) -> str:
    first, last = min(task.first for task in tasks), max(task.last for task in tasks)
    start = "now" if first <= date else f"{first:%d %b}"
    return f"{start} to {last:%d %b}" if last > first else start


def _notes(notes: Sequence[str]) -> list[str]:
    shown = [shortened(note, 200) for note in notes[:MOST_NOTES]]
    more = len(notes) - MOST_NOTES
    return [*shown, f"and {more} more"] if more > 0 else shown


def _list(lines: Iterable[str]) -> RenderableType:
    table = Table.grid(padding=(0, 1))
    table.add_column(width=1)
    table.add_column(overflow="fold")
    for line in lines:
        table.add_row(Text("-"), Text(harmless(line)))
    return table
