"""Day-first or month-first: settled by the dates themselves or by the spacing of the readings, else asked for."""

from __future__ import annotations

import datetime as dt
from pathlib import PurePath
from typing import Any, Final

import polars as pl

from diagnose.intake.records.stamps import AMBIGUOUS, YEAR_FIRST, read_clocks
from diagnose.intake.records.terms import DATE_ORDERS
from diagnose.problems import InputError, Where

__all__ = ["date_order"]

DAY_FIRST, MONTH_FIRST = DATE_ORDERS
LONGEST_STEP_S: Final = 6 * 3600  # readings this close show which days are neighbours
SAMPLE: Final = 2000
FIRST_CELLS: Final = 50
_TWO_DIGITS: Final = r"^\s*(\d{2})[-/.](\d{2})[-/.](\d{2})(?:\D|$)"
FEW: Final = 50  # one garbled date in this many proves nothing


def date_order(cells: pl.Series, stated: str, shown: str, lines: pl.Series) -> tuple[str, str]:
    """The order of day and month in dates of two small numbers, and a note where it was inferred.

    ``stated`` is what the grower said, or empty. Raises InputError where the dates contradict it, where both orders
    occur, or where nothing settles it and the readings would fall on other days.
    """
    if not any(AMBIGUOUS.match(cell) for cell in cells.drop_nulls().head(FIRST_CELLS)):
        return stated or DAY_FIRST, ""
    if not stated and _year_goes_first(cells):
        return YEAR_FIRST, "dates were read year-first, for their last number changes most"
    parts = _parts(cells, lines)
    proof = {DAY_FIRST: parts.filter(_only_day("first"), _month("second")),
             MONTH_FIRST: parts.filter(_only_day("second"), _month("first"))}
    either = parts.filter(_month("first"), _month("second"), pl.col("first") != pl.col("second"))
    likelier = max(DATE_ORDERS, key=lambda order: proof[order].height)
    order = stated or (likelier if proof[likelier].height else "")
    against = MONTH_FIRST if order == DAY_FIRST else DAY_FIRST
    if order and proof[against].height * FEW > parts.height:
        raise _contradiction(proof[against], against, stated, shown)
    if order or either.is_empty():
        return order or DAY_FIRST, ""
    if either["sign"][0] == ".":
        return DAY_FIRST, "dates with dots were read day-first"
    spaced = _by_spacing(cells)
    if spaced:
        return spaced, f"dates were read {spaced}, the only order in which the readings follow day upon day"
    raise _undecided(either.row(0, named=True), shown)


def _year_goes_first(cells: pl.Series) -> bool:
    """Whether of three numbers of two digits the last takes most values, as days do and years do not."""
    some = cells.drop_nulls().gather_every(max(1, cells.len() // SAMPLE))
    found = some.str.extract_groups(_TWO_DIGITS).struct.unnest().drop_nulls()
    if found.is_empty():
        return False
    first, second, third = (found[name].n_unique() for name in found.columns)
    return third > max(first, second)


def _month(name: str) -> pl.Expr:
    return pl.col(name).is_between(1, 12)


def _only_day(name: str) -> pl.Expr:
    return pl.col(name).is_between(13, 31)


def _parts(cells: pl.Series, lines: pl.Series) -> pl.DataFrame:
    """Both numbers of each date, from a sample of the rows; from all of them where the sample settles nothing."""
    for step in sorted({max(1, cells.len() // SAMPLE), 1}, reverse=True):
        rows = pl.DataFrame({"cell": cells, "line": lines}).gather_every(step)
        groups = pl.col("cell").str.extract_groups(AMBIGUOUS.pattern).struct.rename_fields(["first", "sign", "second"])
        parts = rows.select("line", "cell", groups.alias("part")).unnest("part").drop_nulls("first")
        found = parts.with_columns(pl.col("first", "second").cast(pl.Int32))
        if found.filter(_only_day("first") | _only_day("second")).height:
            return found
    return found


def _by_spacing(cells: pl.Series) -> str:
    """The one order under which readings a few hours apart lead from one day into the next; else empty text."""
    crossings = {}
    for order in DATE_ORDERS:
        clock = read_clocks(cells, order)["clock_s"].drop_nulls().unique().sort()
        steps = pl.DataFrame({"clock": clock, "step": clock.diff()})
        near = steps.filter((pl.col("step") <= LONGEST_STEP_S) & (pl.col("clock") % 86_400 < pl.col("step")))
        crossings[order] = near.height
    proved = [order for order in DATE_ORDERS if crossings[order]]
    return proved[0] if len(proved) == 1 else ""


def _contradiction(proof: pl.DataFrame, order: str, stated: str, shown: str) -> InputError:
    row = proof.row(0, named=True)
    words = f'"{row["cell"]}" can only be read {order}'
    words += f", not {stated}." if stated else ", but other dates of this file only the other way round."
    hint = "Correct the date order." if stated else "Were two exports joined? Put them into one form."
    return InputError.one(Where(shown, row["line"]), "date-order", words, hint)


def _undecided(row: dict[str, Any], shown: str) -> InputError:
    readings = []
    for day, month in ((row["first"], row["second"]), (row["second"], row["first"])):
        readings.append(f"{day} {dt.date(2000, month, 1):%B}")
    place = PurePath(shown).stem
    words = f'"{row["cell"]}" can be {readings[0]} or {readings[1]}, and nothing in this file settles it.'
    line = f"climate: {{{place}: {{date_order: day-first}}}}"
    hint = f"Say --date-order day-first or month-first, or write in bench.yaml, for example, {line}"
    return InputError.one(Where(shown, row["line"]), "date-order", words, hint)
