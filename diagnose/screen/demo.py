"""The demo: an invented grower's letter, answered without and with the plant's records, side by side."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from rich.columns import Columns
from rich.console import Console, RenderableType
from rich.table import Table
from rich.text import Text

from diagnose.intake.letter_files import read_letter
from diagnose.marked_yaml import Pairs, read_marked
from diagnose.model.result import CauseFound, Result
from diagnose.problems import InputError, Where
from diagnose.screen.card import percent, show
from diagnose.screen.console import console
from diagnose.workbench import CaseRequest, Workbench

__all__ = ["demo_folder", "show_demo"]

_PACKAGE = Path(__file__).resolve().parent.parent
MOST_CAUSES = 4


def demo_folder() -> Path:
    """The demo scenario of a checkout if there is one, else the one packed with the package."""
    beside = _PACKAGE.parent / "cases" / "demo"
    return beside if beside.is_dir() else _PACKAGE / "_demo"


def show_demo() -> None:
    """Print the letter, both answers side by side, what changed and why, and the card with the records."""
    folder = demo_folder()
    settings = _settings(folder / "demo.yaml")
    letter = read_letter(folder / "letter.txt")
    date = dt.date.fromisoformat(settings["date"])
    bench = Workbench.open()
    without = bench.answer(bench.case(letter, CaseRequest(date=date)))
    request = CaseRequest(date=date, records=folder / "records", plant=settings["plant"])
    with_records = bench.answer(bench.case(letter, request))
    screen = console()
    _print(screen, letter, without, with_records)


def _settings(path: Path) -> dict[str, str]:
    found = read_marked(path)
    if not isinstance(found, Pairs) or not {"date", "plant"} <= found.keys():
        raise InputError.one(Where(str(path)), "missing-key", "The demo needs a date and a plant.")
    return {key: str(value) for key, value in found.items()}


def _print(screen: Console, letter: str, without: Result, with_records: Result) -> None:
    screen.print(Text("An invented grower writes:", style="bold"))
    screen.print(Text(letter.strip()))
    screen.print()
    screen.print(Columns([_ranking("From the letter alone", without), _ranking("With the records", with_records)],
                         equal=True, expand=True))
    screen.print()
    screen.print(Text("Why the records change it", style="bold"))
    for line in _changes(without, with_records):
        screen.print(Text(f"- {line}"))
    screen.print()
    show(screen, with_records)


def _ranking(title: str, result: Result) -> RenderableType:
    table = Table(title=title, show_header=False, box=None, title_justify="left", padding=(0, 1))
    for cause in result.causes[:MOST_CAUSES]:
        table.add_row(Text(cause.name), Text(percent(cause.probability), justify="right"))
    return table


def _changes(without: Result, with_records: Result) -> list[str]:
    """What the logs say for the new leader and against the old one."""
    old = {cause.cause: cause for cause in without.causes}
    found = _from_logs(with_records.causes[0], "for")
    lost = without.causes[0].cause
    now = next((cause for cause in with_records.causes if cause.cause == lost), None)
    if now and lost != with_records.causes[0].cause:
        found += _from_logs(now, "against")
        found.append(f"{now.name}: {percent(old[lost].probability)} before, {percent(now.probability)} now.")
    return found


def _from_logs(cause: CauseFound, side: str) -> list[str]:
    evidence = cause.for_ if side == "for" else cause.against
    return [f"{side} {cause.name.lower()}: {item.finding}. {item.because}" for item in evidence
            if item.from_ in ("climate log", "care log")]
