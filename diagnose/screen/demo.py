"""The demo: an invented grower's letter, answered without and with the plant's records, side by side."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from rich.console import Console, RenderableType
from rich.table import Table
from rich.text import Text

from diagnose.intake.letter_files import read_letter
from diagnose.marked_yaml import Pairs, read_marked
from diagnose.model.report import Report
from diagnose.model.result import CauseFound, Result
from diagnose.problems import InputError, Where
from diagnose.screen.card import bulleted, percent, show
from diagnose.screen.console import console
from diagnose.screen.small_lines import levels_of, small_lines
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
    opened = bench.opened(letter, request)
    screen = console()
    _print(screen, without, bench.report(letter, opened.case, opened.records))


def _settings(path: Path) -> dict[str, str]:
    found = read_marked(path)
    if not isinstance(found, Pairs) or not {"date", "plant"} <= found.keys():
        raise InputError.one(Where(str(path)), "missing-key", "The demo needs a date and a plant.")
    return {key: str(value) for key, value in found.items()}


def _print(screen: Console, without: Result, report: Report) -> None:
    with_records = report.result
    screen.print(Text("An invented grower writes:", style="bold"))
    screen.print(Text(" ".join(report.letter.split())))
    screen.print()
    screen.print(_side_by_side(without, with_records))
    screen.print()
    screen.print(Text("Why the records change it", style="bold"))
    screen.print(bulleted("", _changes(without, with_records)))
    screen.print()
    show(screen, with_records, *small_lines(report, levels_of(screen)))


def _side_by_side(without: Result, with_records: Result) -> RenderableType:
    """How likely each leading cause is by the letter alone and with the records."""
    table = Table(box=None, padding=(0, 2, 0, 0), show_edge=False)
    table.add_column("Likely cause")
    table.add_column("letter alone", justify="right")
    table.add_column("with the records", justify="right")
    before = {cause.cause: cause for cause in without.causes}
    after = {cause.cause: cause for cause in with_records.causes}
    shown = dict.fromkeys([*list(before)[:MOST_CAUSES], *list(after)[:MOST_CAUSES]])
    for cause in sorted(shown, key=lambda name: -max(found[name].probability if name in found else 0.0
                                                     for found in (before, after))):
        name = (after.get(cause) or before[cause]).name
        table.add_row(Text(name), _chance(before.get(cause)), _chance(after.get(cause)))
    return table


def _chance(cause: CauseFound | None) -> Text:
    return Text(percent(cause.probability if cause else 0.0))


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
