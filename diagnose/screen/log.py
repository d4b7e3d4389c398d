"""The log command: one short line becomes rows of the care log, or the last such rows are taken out again."""

from __future__ import annotations

import datetime as dt
import re
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from diagnose.screen.options import KnowledgeOption

if TYPE_CHECKING:
    from diagnose.intake.records.log_line import LogRow

__all__ = ["log_command"]

SIGN_ID = re.compile(r"[a-z]+(?:_[a-z0-9]+)+")


def log_command(
    line: Annotated[list[str] | None, typer.Argument(help='What was done, such as: fed P-07 150 ppm N')] = None,
    records: Annotated[Path, typer.Option("--records", metavar="DIR",
                                          help="The records folder; by default the folder you are in.")] = Path(),
    date: Annotated[str | None, typer.Option(help="When it was done, YYYY-MM-DD; by default today.")] = None,
    undo: Annotated[bool, typer.Option("--undo", help="Take out what was logged last by this command.")] = False,
    knowledge: KnowledgeOption = None,
) -> None:
    """Log what was done, in one short line: fed P-07 150 ppm N; moved all to balcony; P-07 in bud."""
    from diagnose.problems import InputError, Where
    from diagnose.screen.options import read_date
    if undo == bool(line):
        words = "Either say what was done, or --undo." if undo else "Nothing is said that was done."
        raise InputError.one(Where("log"), "no-line", words, "Write for example: fed P-07 150 ppm N")
    if undo:
        _undo(records)
        return
    _log(" ".join(line or ()), records, read_date(date, dt.date.today()), knowledge)


def _log(line: str, folder: Path, date: dt.date, knowledge: Path | None) -> None:
    from diagnose.intake.records.bench import read_bench
    from diagnose.intake.records.care_file import add_rows
    from diagnose.intake.records.log_line import read_log_line
    from diagnose.knowledge.log_words import read_log_words
    from diagnose.knowledge.store import default_folder
    from diagnose.knowledge.terms import terms_of
    place = knowledge or default_folder()
    bench = read_bench(folder / "bench.yaml", words=terms_of(place))
    places = _places(folder, {plant.plant: plant.place for plant in bench.plants.values()}, list(bench.places), date)
    rows = read_log_line(line, read_log_words(place), list(bench.plants), places, date)
    _check_signs(rows, place)
    written, warning = add_rows(folder, rows, bench.plants)
    _print("logged", written, warning)


def _check_signs(rows: Iterable[LogRow], knowledge: Path) -> None:
    """A sign given by its id must be one, or the row could not be used later. Raises InputError."""
    ids = [row.detail for row in rows if row.action == "seen" and SIGN_ID.fullmatch(row.detail)]
    if not ids:
        return
    from diagnose.problems import InputError, Where, nearest
    from diagnose.workbench import Workbench
    signs = Workbench.open(knowledge).base.signs
    for sign in ids:
        if sign not in signs:
            raise InputError.one(Where("log"), "unknown-sign", f'"{sign}" is not a sign.',
                                 f"{nearest(sign, signs)} Plain words will do as well.".strip())


def _places(folder: Path, plants: dict[str, str], places: list[str], date: dt.date) -> dict[str, list[str]]:
    """The plants at each place today; the bench decides where the care log cannot be read."""
    from diagnose.intake.records.care import read_care
    from diagnose.intake.records.whereabouts import plants_by_place
    from diagnose.problems import InputError
    path = folder / "care.csv"
    try:
        rows = read_care(path, str(path), plants, date)[0] if path.exists() else ()
    except InputError:
        rows = ()
    return plants_by_place(plants, rows, places)


def _undo(folder: Path) -> None:
    from diagnose.intake.records.care_file import undo_rows
    rows, warning = undo_rows(folder)
    _print("taken out", rows, warning)


def _print(what: str, rows: tuple[str, ...], warning: str) -> None:
    from diagnose.screen.harmless import harmless
    for row in rows:
        print(f"{what}: {harmless(row)}")
    if warning:
        print(warning, file=sys.stderr)
