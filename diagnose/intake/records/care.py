"""The care log ``care.csv``: one row an action. Every bad row is a problem with its line; all are reported at once."""

from __future__ import annotations

import csv
import datetime as dt
import math
import re
from collections.abc import Collection, Mapping
from pathlib import Path

from diagnose.frozen import frozen
from diagnose.intake.records.doses import Dose, doses_in, known_unit, number_in
from diagnose.intake.records.terms import ACTIONS, UNITS, WETTING
from diagnose.model.days import day_of
from diagnose.problems import InputError, Problem, Where, nearest
from diagnose.raw_files import read_raw_file

__all__ = ["ALL_PLANTS", "COLUMNS", "MOST_BYTES", "CareRow", "RowReader", "care_table", "iso_date", "read_care"]

ALL_PLANTS = "*"
MOST_BYTES = 50_000_000
MOST_DETAIL = 2000
COLUMNS = ("date", "plant", "action", "amount", "unit", "detail")
NEEDED = ("date", "plant", "action")


@frozen
class CareRow:
    """One action: when, on which line, for which plant (``*`` for all), how much, and the detail as typed.

    ``doses`` are that of amount and unit first, then, where the roots were wetted, those of the detail.
    """

    date: dt.date
    line: int
    plant: str
    action: str
    doses: tuple[Dose, ...] = ()
    detail: str = ""


def iso_date(text: str) -> dt.date | None:
    """The day of a date such as 2026-03-02, a clock time after it passed over; None if it is no such date."""
    found = re.fullmatch(r"\s*(\d{4}-\d{2}-\d{2})(?:[T ]\s*\d{1,2}:\d{2}(?::\d{2})?)?\s*", text)
    return day_of(found[1]) if found else None


def read_care(
    path: Path, shown: str, plants: Collection[str], until: dt.date, stages: Collection[str] | None = None
) -> tuple[tuple[CareRow, ...], list[Problem]]:
    """The rows up to and with ``until``, oldest first, and the problems of the others; later rows are not looked at.

    ``stages`` are those that a row may name; without them any are taken.
    Raises InputError where the file cannot be read at all or has no usable header.
    """
    rows: list[CareRow] = []
    problems: list[Problem] = []
    reader = RowReader(shown, plants, stages)
    for line, cells in care_table(_text(path, shown), shown):
        day = iso_date(cells["date"])
        if day is None:
            words = f'"{cells["date"]}" is not a date.'
            problems.append(Problem(Where(shown, line), "not-a-date", words, "Write it as 2026-03-02."))
        elif day <= until:
            found = reader.read(day, line, cells)
            problems += [found] if isinstance(found, Problem) else []
            rows += [found] if isinstance(found, CareRow) else []
    return tuple(sorted(rows, key=lambda row: (row.date, row.line))), problems


def _text(path: Path, shown: str) -> str:
    raw = read_raw_file(path, shown, MOST_BYTES)
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        return raw.decode("utf-16", errors="replace")
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        return raw.decode("cp1252", errors="replace")


def care_table(text: str, shown: str) -> list[tuple[int, dict[str, str]]]:
    """Rows as cells by column name with their line; blank lines are passed over, and a row never spans lines."""
    lines = text.replace("\0", "").replace("\r\n", "\n").replace("\r", "\n").split("\n")
    filled = [(line, row) for line, row in enumerate(lines, 1) if row.strip(" \t,;")]
    if not filled:
        return []
    first, names = filled[0]
    delimiter = max(",;\t", key=names.count)
    header = _header(_cells(names, delimiter, Where(shown, first)), Where(shown, first))
    return [(line, _by_name(header, _cells(row, delimiter, Where(shown, line)))) for line, row in filled[1:]]


def _cells(row: str, delimiter: str, where: Where) -> list[str]:
    try:
        return next(csv.reader([row], delimiter=delimiter))
    except csv.Error as error:
        raise InputError.one(where, "not-csv", f"This line cannot be split into cells: {error}.") from None


def _header(cells: list[str], where: Where) -> list[str]:
    names = [cell.strip().casefold() for cell in cells]
    missing = [name for name in NEEDED if name not in names]
    strange = [name for name in names if name and name not in COLUMNS]
    if missing:
        hint = " ".join(nearest(name, COLUMNS) for name in strange[:1]) or f"Expected: {','.join(COLUMNS)}."
        words = f"The header lacks {', '.join(missing)}."
        raise InputError.one(where, "care-header", words, hint)
    return names


def _by_name(header: list[str], cells: list[str]) -> dict[str, str]:
    """Cells by column; cells past the last column belong to a detail typed with commas."""
    row = dict.fromkeys(COLUMNS, "") | dict(zip(header, (cell.strip() for cell in cells), strict=False))
    if len(cells) > len(header) and header[-1] == "detail":
        row["detail"] = ",".join(cells[len(header) - 1:]).strip()
    return row


class RowReader:
    """Turns cells into rows, or says what is wrong with them."""

    def __init__(self, shown: str, plants: Collection[str], stages: Collection[str] | None = None) -> None:
        self.shown = shown
        self.plants = plants
        self.stages = stages

    def read(self, day: dt.date, line: int, cells: Mapping[str, str]) -> CareRow | Problem:
        """A row, or its first mistake."""
        where = Where(self.shown, line)
        plant, action, detail = cells["plant"], cells["action"].casefold(), cells["detail"]
        if plant != ALL_PLANTS and plant not in self.plants:
            hint = nearest(plant, self.plants) or "Add it to bench.yaml, or write * for every plant."
            return Problem(where, "unknown-plant", f'"{plant}" is not a plant of bench.yaml.', hint)
        if action not in ACTIONS:
            return Problem(where, "unknown-action", f'"{action}" is not an action.', nearest(action, ACTIONS, 20))
        if action == "stage" and self.stages is not None and detail not in self.stages:
            return Problem(where, "unknown-stage", f'"{detail}" is not a stage.', nearest(detail, self.stages))
        if action == "seen" and not detail:
            return Problem(where, "nothing-seen", "This row does not say what was seen.", "Write it under detail.")
        if len(detail) > MOST_DETAIL:
            words = f"The detail is longer than {MOST_DETAIL:,} characters."
            return Problem(where, "detail-too-long", words, "Write what matters for the plant.")
        dose = _dose(cells["amount"], cells["unit"], where)
        if isinstance(dose, Problem):
            return dose
        doses = (*([dose] if dose else []), *(doses_in(detail) if action in WETTING else ()))
        return _out_of_range(doses, where) or CareRow(day, line, plant, action, doses, detail)


def _dose(amount: str, unit: str, where: Where) -> Dose | Problem | None:
    if not amount:
        return None
    number = number_in(amount)
    if number is None:
        return Problem(where, "not-a-number", f'The amount "{amount}" is not a number.', "Write 150 or 0.5.")
    if not unit:
        return Problem(where, "no-unit", f'The amount "{amount}" has no unit.', f"Known: {', '.join(UNITS)}.")
    return known_unit(number, unit) or Problem(
        where, "unknown-unit", f'"{unit}" is not a unit of the care log.', nearest(unit, UNITS))


def _out_of_range(doses: tuple[Dose, ...], where: Where) -> Problem | None:
    for dose in doses:
        low, high = UNITS[dose.unit]
        if not low <= dose.amount <= high:
            found = f"{dose.amount:g}" if math.isfinite(dose.amount) else "A number of that many digits in"
            words = f"{found} {dose.unit} cannot be right."
            return Problem(where, "out-of-range", words, f"Expected {low:g} to {high:g} {dose.unit}.")
    return None
