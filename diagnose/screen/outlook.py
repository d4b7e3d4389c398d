"""The outlook command: what the records alone say will go wrong, and what the next weeks ask for."""

from __future__ import annotations

import datetime as dt
import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from diagnose.screen.options import KnowledgeOption

if TYPE_CHECKING:
    from diagnose.model.outlook import Finding, Outlook, PlantOutlook
    from diagnose.rounds import Progress, Rounds

__all__ = ["as_plain_outlook", "outlook_command"]

LEAST_SHOWN = 20  # a smaller bench is done before anybody wonders


def outlook_command(
    records: Annotated[Path, typer.Option("--records", metavar="DIR",
                                          help="Folder with bench.yaml, climate and care logs.")],
    date: Annotated[str | None, typer.Option(help="Judge as of this day, YYYY-MM-DD.")] = None,
    plant: Annotated[str, typer.Option(metavar="ID", help="Show only this plant; the others still count.")] = "",
    json: Annotated[bool, typer.Option("--json", help="Print JSON.")] = False,
    date_order: Annotated[str | None, typer.Option(help="day-first or month-first, for climate exports.")] = None,
    knowledge: KnowledgeOption = None,
) -> None:
    """No symptom needed: what the records alone say will go wrong, and what the next six weeks ask for."""
    from diagnose.rounds import outlook
    from diagnose.screen.options import read_date
    from diagnose.workbench import Workbench
    day = read_date(date, dt.date.today())
    progress = _Progress()
    found = outlook(Workbench.open(knowledge), records, day, progress.show, date_order or "")
    progress.end()
    found = _only(found, plant) if plant else found
    if json:
        _print_json(found.outlook)
        return
    from diagnose.screen.console import console
    from diagnose.screen.outlook_page import page
    console().print(page(found.outlook, found.notes))


def _only(found: Rounds, plant: str) -> Rounds:
    """One plant of an outlook. Raises InputError where the bench has no such plant."""
    from diagnose.problems import InputError, Where, nearest
    plants = tuple(each for each in found.outlook.plants if each.plant == plant)
    if not plants:
        known = [each.plant for each in found.outlook.plants]
        raise InputError.one(Where("--plant"), "unknown-plant", f'"{plant}" is not a plant of this bench.',
                             nearest(plant, known))
    return replace(found, outlook=replace(found.outlook, plants=plants))


def _print_json(outlook: Outlook) -> None:
    from diagnose.screen.as_json import json_text
    print(json_text(as_plain_outlook(outlook)))


def as_plain_outlook(outlook: Outlook) -> dict[str, Any]:
    """The outlook object of the contract: every plant of the bench, with empty lists where all is fine."""
    return {"date": outlook.date.isoformat(), "plants": [_plant(plant) for plant in outlook.plants]}


def _plant(plant: PlantOutlook) -> dict[str, Any]:
    season = [{"from": task.first.isoformat(), "to": task.last.isoformat(), "do": task.do, "because": task.because}
              for task in plant.season]
    return {"plant": plant.plant, "findings": [_finding(finding) for finding in plant.findings], "season": season}


def _finding(finding: Finding) -> dict[str, Any]:
    return {"cause": finding.cause, "probability": finding.probability, "urgency": finding.urgency,
            "because": [*finding.because, *([finding.first] if finding.first else [])],
            "do": [*finding.do, *finding.cautions]}


class _Progress:
    """A line on standard error that is written over, where a large bench takes its time and somebody can see it."""

    def __init__(self) -> None:
        self._shown = False
        self.show: Progress = self._show

    def _show(self, what: str, done: int, of: int) -> None:
        if of < LEAST_SHOWN:
            return
        if sys.stderr.isatty():
            sys.stderr.write(f"\r{what} {done} of {of} plants ")
            sys.stderr.flush()
            self._shown = True
        elif done == of or done % 50 == 0:
            print(f"{what} {done} of {of} plants", file=sys.stderr, flush=True)

    def end(self) -> None:
        """Clear the line."""
        if self._shown:
            sys.stderr.write("\r\x1b[K")
            sys.stderr.flush()
