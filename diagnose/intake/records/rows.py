"""Readings put in order: doubled and conflicting stamps, stretches of a sensor that stood still, usual step, gaps."""

from __future__ import annotations

import datetime as dt
from typing import Final

import polars as pl

from diagnose.intake.records.lines import in_lines
from diagnose.problems import InputError, Where

__all__ = ["gap_limit_s", "in_order", "usual_step_s", "without_stuck"]

VALUES: Final = ("temperature_c", "humidity_pct", "light_lux")
SLIGHT: Final = {"temperature_c": 0.5, "humidity_pct": 3.0, "light_lux": 2000.0}  # within one minute of a clock
MANY_CONFLICTS: Final = 10
STUCK_S: Final = {1: 48 * 3600, 2: 24 * 3600}  # by number of quantities that stand still together
LIVELY_S: Final = 8 * 3600  # elsewhere the sensor never stood still for as long as this,
MOVES: Final = 24  # and moved at least as often as this
SAMPLE: Final = 20_000  # rows looked at where all would tell no more
SHORTEST_GAP_S: Final = 2 * 3600
LONGEST_GAP_S: Final = 6 * 3600


def in_order(rows: pl.DataFrame, shown: str) -> tuple[pl.DataFrame, list[str]]:
    """Rows by time, each time once. Equal rows are merged; of slightly different ones the first is kept.

    Times with clearly different readings are left out. Raises InputError where there are many of them: two sensors
    in one file are not to be mixed.
    """
    if not rows["t"].is_sorted():
        rows = rows.sort("t", maintain_order=True)
    if not (rows["t"].diff() == 0).any():
        return rows, []
    merged = rows.unique(["t", *VALUES], keep="first", maintain_order=True)
    doubled = rows.height - merged.height
    notes = [f"rows that stand twice were counted once ({doubled})"] if doubled else []
    again = merged.filter(pl.col("t").is_duplicated())
    if again.is_empty():
        return merged, notes
    spread = [(pl.col(name).max() - pl.col(name).min()).fill_null(0) > SLIGHT[name] for name in VALUES]
    clash = again.group_by("t").agg(pl.any_horizontal(spread).alias("clash")).filter("clash")
    if clash.height >= max(MANY_CONFLICTS, merged["t"].n_unique() / 5):
        line = again.filter(pl.col("t").is_in(clash["t"].to_list()))["line"][0]
        words = f"{clash.height} time stamps occur twice with clearly different readings."
        raise InputError.one(Where(shown, line), "two-sensors", words, "Are there two sensors in one file? Split it.")
    return _one_a_time(merged, again, clash["t"], notes)


def _one_a_time(
    rows: pl.DataFrame, again: pl.DataFrame, clash: pl.Series, notes: list[str]
) -> tuple[pl.DataFrame, list[str]]:
    clashing = pl.col("t").is_in(clash.to_list())
    if clash.len():
        lines = in_lines(again.filter(clashing)["line"])
        notes = [*notes, f"{lines}: one time stamp with different readings; left out"]
    if again["t"].n_unique() > clash.len():
        lines = in_lines(again.filter(~clashing)["line"])
        notes = [*notes, f"{lines}: one time stamp with slightly different readings; the first was kept"]
    return rows.filter(~clashing).unique("t", keep="first", maintain_order=True), notes


def without_stuck(rows: pl.DataFrame) -> tuple[pl.DataFrame, list[str]]:
    """Leave out stretches of a day or more in which nothing moved at all, if the log is lively elsewhere."""
    moving = [name for name in ("temperature_c", "humidity_pct") if rows[name].null_count() < rows.height]
    if not moving or rows.height < 3:
        return rows, []
    limit = STUCK_S[len(moving)]
    if not _stands_still(rows.select("t", *moving), limit):
        return rows, []
    moved = pl.any_horizontal([pl.col(name).ne_missing(pl.col(name).shift()) for name in moving])
    moved = moved | (pl.col("t").diff() > LONGEST_GAP_S)
    starts = rows.select("t", moved=moved.fill_null(True)).with_row_index("at").filter("moved")
    ends = starts["at"].shift(-1).fill_null(rows.height) - 1
    runs = starts.with_columns(end=ends, length=rows["t"].gather(ends) - starts["t"])
    stuck = runs.filter(pl.col("length") >= limit)
    if stuck.is_empty():
        return rows, []
    others = runs.filter(pl.col("length") < limit)["length"]
    lively = others.len() >= MOVES and not (others >= LIVELY_S).any()
    return _apart_from(rows, stuck, lively)


def _stands_still(rows: pl.DataFrame, limit_s: int) -> bool:
    """Whether readings taken from all over the log do not differ for long; if they do, no readings stand still."""
    some = rows.gather_every(max(1, rows.height // SAMPLE))
    moved = pl.any_horizontal([pl.col(name).ne_missing(pl.col(name).shift()) for name in some.columns[1:]])
    turns = some.filter(moved.fill_null(True))["t"].append(some["t"].tail(1)).append(rows["t"].tail(1))
    slack_s = 2 * some["t"].diff().drop_nulls().sort().to_list()[-1]
    return bool((turns.diff() >= limit_s - slack_s).any())


def _apart_from(rows: pl.DataFrame, stuck: pl.DataFrame, leave_out: bool) -> tuple[pl.DataFrame, list[str]]:
    lines = [f"{rows['line'][at]}-{rows['line'][end]}" for at, end in stuck.select("at", "end").iter_rows()]
    first = dt.datetime.fromtimestamp(stuck["t"][0], dt.UTC).date()
    words = f"lines {', '.join(lines[:5])}: the readings do not move at all for a day or more (first on {first})"
    if not leave_out:
        return rows, [f"{words}; used as they stand"]
    at = pl.int_range(pl.len())
    kept = pl.all_horizontal([~at.is_between(*run) for run in stuck.select("at", "end").iter_rows()])
    return rows.filter(kept), [f"{words}, which they do elsewhere; left out as a stuck sensor"]


def usual_step_s(t: pl.Series) -> float:
    """The usual time between readings in seconds, 0 where there are fewer than two."""
    step = t.diff().drop_nulls().gather_every(max(1, t.len() // SAMPLE)).median()
    return float(step) if isinstance(step, (int, float)) else 0.0


def gap_limit_s(step_s: float) -> float:
    """How far apart two readings may be for the time between them to count as known: twice the usual step.

    At least two hours, for the weather of a room moves slower than that; at most six, for nights must not be guessed.
    """
    return min(max(2 * step_s, SHORTEST_GAP_S), LONGEST_GAP_S)
