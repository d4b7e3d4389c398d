"""The climate export of a place becomes clean readings: stamps, units, sentinels settled, each guess noted once."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import polars as pl

from diagnose.intake.records.bench import ClimateHints
from diagnose.intake.records.clock import check_zone, on_one_axis, until_date
from diagnose.intake.records.columns import Heading
from diagnose.intake.records.date_order import date_order
from diagnose.intake.records.dialect import Export, open_export
from diagnose.intake.records.lines import in_lines
from diagnose.intake.records.physics import LUX_PER_UMOL
from diagnose.intake.records.quantities import with_quantities
from diagnose.intake.records.rows import gap_limit_s, in_order, usual_step_s, without_stuck
from diagnose.intake.records.stamps import looks_like_stamp, plainly_written, read_clocks
from diagnose.intake.records.table import raw_table
from diagnose.problems import InputError, Where
from diagnose.raw_files import read_raw_file

__all__ = ["Climate", "joined", "read_climate"]

COLUMNS = ("temperature_c", "humidity_pct", "light_lux", "light_umol")
MOST_BYTES = 500_000_000  # half a year by the second
MANY_STRANGE = 5  # remarks and summary lines an export may well hold


@dataclass(frozen=True, eq=False)
class Climate:
    """Readings of a place up to a date, by time.

    ``rows`` holds ``t`` (seconds since 1970 in local standard time, rising, each once), ``temperature_c``,
    ``humidity_pct``, ``light_lux`` and ``light_umol`` (umol/m2/s), null where unknown. Between readings further apart
    than ``gap_limit_s`` nothing is known. ``notes`` say what was guessed or left out.
    """

    rows: pl.DataFrame
    gap_limit_s: float
    notes: tuple[str, ...]

    @property
    def last_day(self) -> int:
        """Day number of the last reading; there must be one."""
        return int(self.rows["t"][-1]) // 86_400


def read_climate(path: Path, shown: str, *, date: dt.date, hints: ClimateHints, stated_order: str = "") -> Climate:
    """Read an export in any common dialect. Rows logged after ``date`` are not used.

    ``stated_order`` (day-first or month-first) goes before the hints. Raises InputError for what cannot be read and
    for an ambiguity that would change the result.
    """
    export = open_export(read_raw_file(path, shown, MOST_BYTES), shown)
    if export is None:
        return Climate(_no_rows(), gap_limit_s(0), (f"{shown}: there are no readings",))
    rows, notes = _readings(export, shown, date, hints, stated_order)
    step = usual_step_s(rows["t"])
    limit = gap_limit_s(step)
    notes += _gap_notes(rows["t"], step, limit) if rows.height else ["there are no readings up to the date"]
    return Climate(rows, limit, tuple(f"{shown}: {note}" for note in notes))


def joined(parts: Sequence[tuple[Climate, int | None, int | None]]) -> Climate | None:
    """One climate from several, each for its days from the first up to but without the second (None: open)."""
    rows = []
    for climate, first, end in parts:
        day = pl.col("t") // 86_400
        inside = [*([day >= first] if first is not None else []), *([day < end] if end is not None else [])]
        rows.append(climate.rows.filter(*inside))
    whole = pl.concat(rows) if rows else _no_rows()
    return Climate(whole, max(climate.gap_limit_s for climate, _, _ in parts), ()) if whole.height else None


def _no_rows() -> pl.DataFrame:
    return pl.DataFrame(schema={"t": pl.Int64} | dict.fromkeys(COLUMNS, pl.Float64))


def _readings(
    export: Export, shown: str, date: dt.date, hints: ClimateHints, stated_order: str
) -> tuple[pl.DataFrame, list[str]]:
    if hints.time_zone:
        check_zone(hints.time_zone, hints.where)
    table, notes = raw_table(export, shown)
    if table.is_empty():
        return _no_rows(), notes
    cells = _stamp_cells(table)
    plain = plainly_written(cells)
    order, order_note = date_order(plain, stated_order or hints.date_order, shown, table["line"])
    clocks = read_clocks(plain, order)
    if export.heading.offset_s is not None:
        clocks = clocks.with_columns(pl.col("offset_s").fill_null(export.heading.offset_s))
    rows = pl.concat([table, clocks], how="horizontal")
    rows, unread = _stamped(rows, cells, export.heading, shown)
    rows = until_date(rows, date, hints.time_zone)
    rows, clock_notes = on_one_axis(rows, hints.time_zone)
    rows, value_notes = with_quantities(rows, export, hints, shown)
    rows, order_notes = in_order(rows, shown)
    rows, stuck_notes = without_stuck(rows)
    notes += [order_note] * bool(order_note) + unread + clock_notes + value_notes + order_notes + stuck_notes
    photons = pl.col("light_lux") / LUX_PER_UMOL[hints.light_source or "sunlight"]
    return rows.with_columns(light_umol=photons).select("t", *COLUMNS), notes


def _stamp_cells(table: pl.DataFrame) -> pl.Series:
    """The time cells; where date and time stand apart, joined, a blank date being that of the row above."""
    if "date" not in table.columns:
        return table["time"]
    if "time" not in table.columns:
        return table["date"]
    date, time = (table[name].replace("", None) for name in ("date", "time"))
    if any(looks_like_stamp(cell) for cell in time.drop_nulls().head(5)):
        return time
    if any(":" in cell for cell in date.drop_nulls().head(5)):
        return date
    joined = pl.concat_str([pl.col("date").forward_fill(), pl.col("time")], separator=" ")
    return pl.select(date=date, time=time).select(joined).to_series()


def _stamped(
    rows: pl.DataFrame, cells: pl.Series, heading: Heading, shown: str
) -> tuple[pl.DataFrame, list[str]]:
    """The rows with a time. Raises InputError where most have none; repeated headers and remarks are noted."""
    unread = rows["clock_s"].is_null()
    if not unread.any():
        return rows, []
    left = rows.with_columns(cell=cells.fill_null("")).filter(unread)
    header = pl.col("cell").str.strip_chars().is_in([name for name in heading.names if name])
    headers, strange = left.filter(header), left.filter(~header)
    data = rows.height - headers.height
    if strange.height and (strange.height == data or strange.height > max(MANY_STRANGE, data / 2)):
        line, cell = strange.select("line", "cell").row(0)
        words = f'"{cell}" is not understood as a time stamp.'
        raise InputError.one(Where(shown, line), "time-stamp", words, "Expected such as 2026-03-02 07:30.")
    notes = [f"{in_lines(headers['line'])}: the header is repeated; left out"] if headers.height else []
    notes += [f"{in_lines(strange['line'])}: no time stamp; left out"] if strange.height else []
    return rows.filter(~unread), notes


def _gap_notes(t: pl.Series, step_s: float, limit_s: float) -> list[str]:
    gaps = t.diff().filter(t.diff() > limit_s)
    if gaps.is_empty():
        return []
    if gaps.len() * 2 > t.len():
        return [f"readings are mostly {step_s / 3600:.0f} h apart, too far to tell what happened between them"]
    found = f"{gaps.len()}, together {gaps.sum() / 3600:.0f} h"
    return [f"gaps of more than {limit_s / 3600:g} h between readings count as unknown: {found}"]
