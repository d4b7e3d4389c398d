"""The readings of an export as columns, each row with its line number."""

from __future__ import annotations

import csv
from collections.abc import Sequence

import polars as pl

from diagnose.intake.records.dialect import Export
from diagnose.intake.records.lines import in_lines
from diagnose.problems import InputError, Where

__all__ = ["raw_table"]

NUMBERS = ("temperature", "humidity", "light", "dew")
MOST_NAMES = 6
ROLES = ("time", "date", *NUMBERS)


def raw_table(export: Export, shown: str) -> tuple[pl.DataFrame, list[str]]:
    """Columns by role, with ``line``; blank lines are left out, and lines that cannot be split are noted.

    Columns are text; those of quantities are numbers at once where every cell is a plain one. Raises InputError where
    the file cannot be split into cells at all.
    """
    notes = []
    if export.cut_line:
        notes.append(f"line {export.cut_line}: the last line breaks off; left out")
    if export.heading.passed_over:
        names = ", ".join(f'"{name}"' for name in export.heading.passed_over)
        notes.append(f"columns not used, for another of the kind was taken: {names}")
    if export.heading.unknown:
        names = ", ".join(f'"{name}"' for name in export.heading.unknown[:MOST_NAMES])
        notes.append(f"columns not used, for it is not known what they hold: {names}")
    body = memoryview(export.text)[export.start: export.end]
    table = _plain_numbers(export, body)
    if table is None:
        table, broken = _text(export, body, shown)
        notes += [f"{in_lines(broken)}: cannot be split into cells; left out"] if broken else []
    blank = pl.all_horizontal(pl.col(role).is_null() for role in table.columns)
    return table.with_row_index("line", export.header_line + 1).filter(~blank), notes


def _plain_numbers(export: Export, body: memoryview) -> pl.DataFrame | None:
    """The table with quantities as numbers; None where a cell is none, or could hold a decimal comma.

    A quotation mark without its fellow is no number either, and the reader of numbers breaks off on one at the end.
    """
    if export.delimiter == ";" or export.text.count(b'"', export.start, export.end) % 2:
        return None
    try:
        return _parse(export, body, NUMBERS)
    except pl.exceptions.PolarsError:
        return None


def _text(export: Export, body: memoryview, shown: str) -> tuple[pl.DataFrame, list[int]]:
    """The table as text, and the numbers of lines that had to be blanked for it."""
    try:
        return _parse(export, body), []
    except pl.exceptions.PolarsError:
        mended, broken = _mended(export, bytes(body))
    try:
        return _parse(export, mended), broken
    except pl.exceptions.PolarsError:
        words = "The lines of this file cannot be split into cells."
        raise InputError.one(Where(shown), "not-csv", words, "Export it again as CSV.") from None


def _parse(export: Export, body: bytes | memoryview, numbers: Sequence[str] = ()) -> pl.DataFrame:
    """Put a header of own names over the readings, so that every line may be shorter than the widest."""
    names = [f"c{at}" for at in range(export.width)]
    places = {getattr(export.heading, role): role for role in reversed(ROLES)}
    columns = {f"c{at}": role for at, role in places.items() if at is not None}
    kinds = {name: pl.Float64 if columns.get(name) in numbers else pl.String for name in names}
    whole = b"".join((export.delimiter.join(names).encode(), b"\n", body))
    table = pl.read_csv(whole, separator=export.delimiter, columns=[*columns], schema_overrides=kinds)
    return table.rename(columns)


def _mended(export: Export, body: bytes) -> tuple[bytes, list[int]]:
    """The readings with blanks for lines that have too many cells or stray quotation marks, and their numbers."""
    lines = body.split(b"\n")
    broken = []
    for at, line in enumerate(lines):
        if line.count(export.delimiter.encode()) < export.width and b'"' not in line:
            continue
        try:
            cells = next(csv.reader([line.decode(errors="replace")], delimiter=export.delimiter, strict=True), [])
        except csv.Error:
            cells = [""] * (export.width + 1)
        if len(cells) > export.width:
            broken.append(export.header_line + 1 + at)
            lines[at] = b""
    return b"\n".join(lines), broken
