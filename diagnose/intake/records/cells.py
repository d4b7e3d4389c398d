"""Number cells of an export: decimal comma or point, thousands, units and signs inside cells, sentinels, units."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

import polars as pl

__all__ = ["decimal_mark", "numbers", "sample_of", "unit_in_cells"]

SAMPLE: Final = 400
_BOTH = re.compile(r"\d[.,]\d.*[.,]\d")
_THOUSANDS = re.compile(r"^\D*\d{1,3}([.,]\d{3})+\D*$")
_GARNISH = r"[\s\x{00A0}\x{202F}\x{2009}%°º˚℃℉'\"]|[A-Za-zµμ²/·⁻¹]+$"
_DASHES = r"[\x{2212}\x{2013}\x{FF0D}]"


def sample_of(cells: pl.Series) -> list[str]:
    """Some filled cells from all over a column."""
    present = cells.drop_nulls()
    return [str(cell) for cell in present.gather_every(max(1, present.len() // SAMPLE))] if present.len() else []


def decimal_mark(sample: Sequence[str]) -> str:
    """``,`` or ``.`` where the cells of a column show which is the decimal mark; empty where they leave it open.

    Where a cell holds both, the last is decimal. A single mark followed by exactly three digits proves nothing.
    """
    for cell in sample:
        if _BOTH.search(cell) and "," in cell and "." in cell:
            return "," if cell.rindex(",") > cell.rindex(".") else "."
    for cell in sample:
        mark = "," if "," in cell else "." if "." in cell else ""
        if mark and not _THOUSANDS.match(cell):
            return mark
    return ""


def unit_in_cells(sample: Sequence[str]) -> str:
    """``C`` or ``F`` where cells carry the unit of a temperature, else empty text."""
    for cell in sample:
        found = re.search(r"\d\s*[°º˚]?\s*([CF])\s*$|\d\s*(℃|℉)\s*$", cell)
        if found:
            return "F" if found[1] == "F" or found[2] == "℉" else "C"
    return ""


def numbers(cells: pl.Series, mark: str) -> pl.Series:
    """The cells as numbers, null where they hold none; the other mark than the decimal one separates thousands."""
    if cells.dtype == pl.Float64:
        return cells.fill_nan(None)
    plain = cells
    if mark == ",":
        if cells.str.contains(".", literal=True).any():
            plain = plain.str.replace_all(".", "", literal=True)
        plain = plain.str.replace(",", ".", literal=True)
    values = plain.cast(pl.Float64, strict=False)
    unread = values.is_null() & cells.is_not_null()
    if unread.any():
        values = values.scatter(unread.arg_true(), _untidy(cells.filter(unread), mark))
    return values.fill_nan(None)


def _untidy(cells: pl.Series, mark: str) -> pl.Series:
    """Cells with blanks, units, typographic minus signs or thousands marks; words stay without a number."""
    bare = cells.str.replace_all(_DASHES, "-").str.replace_all(_GARNISH, "")
    if mark == ",":
        bare = bare.str.replace_all(".", "", literal=True).str.replace(",", ".", literal=True)
    else:
        bare = bare.str.replace_all(",", "", literal=True)
    return bare.cast(pl.Float64, strict=False)
