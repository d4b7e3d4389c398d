"""Clock readings become one even time axis: local standard time in seconds, whatever zone or summer time they show."""

from __future__ import annotations

import datetime as dt
from typing import Final

import polars as pl

from diagnose.intake.records.lines import in_lines
from diagnose.problems import InputError, Where, nearest

__all__ = ["Axis", "check_zone", "on_one_axis", "until_date"]

CLOCK_SET_S: Final = int(dt.datetime(2001, 1, 1, tzinfo=dt.UTC).timestamp())  # loggers start at 1970, 1980 or 2000
RESET_S: Final = 400 * 86_400  # a step back by more than this is a clock that was reset
HOUR_S: Final = 3600
Axis = tuple[pl.DataFrame, list[str]]  # rows with their time, and notes on how it was found


def check_zone(zone: str, stated_at: Where) -> None:
    """Raises InputError for a time zone that is not known, with the nearest one that is."""
    try:
        pl.Series([dt.datetime(2000, 1, 1)]).dt.replace_time_zone(zone)
    except pl.exceptions.PolarsError:
        from zoneinfo import available_timezones  # slow to load, and wanted only for the hint

        words = f'"{zone}" is not a known time zone.'
        hint = nearest(zone, available_timezones()) or "Write it as Europe/Berlin."
        raise InputError.one(stated_at, "time-zone", words, hint) from None


def until_date(rows: pl.DataFrame, date: dt.date, zone: str) -> pl.DataFrame:
    """Rows whose own clock shows ``date`` or an earlier day; stamps in UTC are judged by the clock of the zone."""
    end = (date - dt.date(1970, 1, 1)).days * 86_400 + 86_400
    if not zone or rows["offset_s"].null_count() == rows.height:
        newest = rows["clock_s"].max()
        return rows.filter(pl.col("clock_s") < end) if isinstance(newest, int) and newest >= end else rows
    moment = pl.from_epoch(pl.col("clock_s") - pl.col("offset_s"), "s").dt.replace_time_zone("UTC")
    local = moment.dt.convert_time_zone(zone).dt.replace_time_zone(None).dt.epoch("s")
    return rows.filter(pl.coalesce(local, pl.col("clock_s")) < end)


def on_one_axis(rows: pl.DataFrame, zone: str) -> Axis:
    """Add ``t``: seconds since 1970 of local standard time. Without a zone the shown clock stands for local time.

    A local hour that occurs twice (autumn) is told apart by the order of the rows; a reading within the hour that
    summer time skips proves a logger left on standard time. Rows newest first are turned round; those of a clock that
    was not set are left out.
    """
    rows, notes = _with_clock_set(_oldest_first(rows))
    if rows.is_empty():
        return rows.with_columns(t=pl.col("clock_s")), notes
    if rows["offset_s"].null_count() < rows.height:
        rows, more = _from_offsets(rows, zone)
    else:
        rows, more = _from_zone(rows, zone) if zone else _from_shown_clock(rows)
    return rows, notes + more


def _oldest_first(rows: pl.DataFrame) -> pl.DataFrame:
    clock = rows["clock_s"]
    if clock.is_sorted():
        return rows
    return rows.reverse() if (clock.diff() < 0).sum() * 2 > rows.height else rows


def _with_clock_set(rows: pl.DataFrame) -> Axis:
    """Leave out rows stamped while the clock was not set, or after it had been reset to a time long before."""
    if rows.is_empty() or (rows["clock_s"].is_sorted() and rows["clock_s"][0] >= CLOCK_SET_S):
        return rows, []
    unset = (pl.col("clock_s") < CLOCK_SET_S) | (pl.col("clock_s") < pl.col("clock_s").cum_max() - RESET_S)
    bad = rows.filter(unset)
    if bad.is_empty():
        return rows, []
    return rows.filter(~unset), [f"{in_lines(bad['line'])}: the clock was not set or had been reset; left out"]


def _from_offsets(rows: pl.DataFrame, zone: str) -> Axis:
    """Stamps that state their shift from UTC: standard time of the zone, or the smaller of two neighbouring shifts."""
    stated = rows["offset_s"].drop_nulls()
    offsets = stated.unique().sort().to_list()
    moments = rows.with_columns(utc=pl.col("clock_s") - pl.col("offset_s").fill_null(stated.mode()[0]))
    if zone:
        return moments.with_columns(t=pl.col("utc") + _standard_offset_s(moments["utc"], zone)).drop("utc"), []
    local = offsets[0] if offsets[-1] - offsets[0] <= HOUR_S else 0
    note = "stamps are in UTC or in several zones and bench.yaml states no time_zone: days run by UTC"
    return moments.with_columns(t=pl.col("utc") + local).drop("utc"), [] if local else [note]


def _standard_offset_s(utc: pl.Series, zone: str) -> int:
    moment = pl.from_epoch(pl.Series([utc.max()], dtype=pl.Int64), "s").dt.replace_time_zone("UTC")
    return int(moment.dt.convert_time_zone(zone).dt.base_utc_offset().dt.total_seconds()[0])


def _from_zone(rows: pl.DataFrame, zone: str) -> Axis:
    """Clock times of a place whose zone is known: with summer time, unless the readings show that it is not kept."""
    naive = pl.from_epoch(rows["clock_s"], "s")
    early = naive.dt.replace_time_zone(zone, ambiguous="earliest", non_existent="null").dt.epoch("s")
    late = naive.dt.replace_time_zone(zone, ambiguous="latest", non_existent="null").dt.epoch("s")
    repeated = _second_pass(rows["clock_s"], (early != late).fill_null(False))
    if early.null_count() or repeated is None:
        note = "the clock of the logger does not follow summer time; its times are standard time"
        return rows.with_columns(t=pl.col("clock_s")), [note]
    utc = pl.select(pl.when(repeated).then(late).otherwise(early)).to_series()
    return rows.with_columns(t=utc + _standard_offset_s(utc, zone)), []


def _second_pass(clock: pl.Series, twice: pl.Series) -> pl.Series | None:
    """Which rows of an hour that occurs twice belong to its second pass; None where a logger passed it but once."""
    step = clock.diff()
    back = (step <= 0).fill_null(False) & twice
    if back.any() or not twice.any():
        day = pl.DataFrame({"day": clock // 86_400, "back": back})
        return day.select(pl.col("back").cum_sum().over("day") > 0).to_series() & twice
    usual = step.median()
    dense = isinstance(usual, (int, float)) and 0 < usual <= HOUR_S / 2
    return None if dense else back


def _from_shown_clock(rows: pl.DataFrame) -> Axis:
    """Clock times of a place whose zone is unknown: a Sunday night hour that repeats is the end of summer time."""
    clock, plain = rows["clock_s"], rows.with_columns(t=pl.col("clock_s"))
    if clock.is_sorted():
        return plain, []
    step = clock.diff()
    usual = step.filter(step > 0).median()
    reach = 2 * usual if isinstance(usual, (int, float)) else 0
    sunday = (clock // 86_400 + 3) % 7 == 6  # 1 January 1970 was a Thursday
    back = (step < 0) & (step + HOUR_S).is_between(0, reach) & sunday & (clock % 86_400 < 4 * HOUR_S)
    places = back.arg_true().to_list()
    if not places or (step < 0).sum() > len(places):
        return plain, []
    at = pl.int_range(pl.len())
    shift = pl.sum_horizontal([(at < place).cast(pl.Int64) for place in places]) * HOUR_S
    lines = in_lines(int(rows["line"][place]) for place in places)
    note = f"{lines}: an hour occurs twice, taken as the end of summer time"
    return rows.with_columns(t=pl.col("clock_s") - shift), [note]
