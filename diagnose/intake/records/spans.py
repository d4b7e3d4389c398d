"""Readings as straight lines between their times: sums over time that do not depend on how often was measured.

Time between two readings further apart than the gap limit is unknown and belongs to no span.
"""

from __future__ import annotations

import polars as pl

__all__ = ["DAY_S", "by_day", "degree_seconds_above", "degree_seconds_below", "seconds_above", "seconds_below", "spans"]

DAY_S = 86_400
_START, _END, _V0, _V1 = pl.col("t0"), pl.col("t1"), pl.col("v0"), pl.col("v1")
_LENGTH = _END - _START
_LOW, _HIGH = pl.min_horizontal("v0", "v1"), pl.max_horizontal("v0", "v1")


def spans(rows: pl.DataFrame, value: pl.Expr, gap_limit_s: float) -> pl.LazyFrame:
    """Spans between neighbouring readings of one quantity: ``t0``, ``t1`` (s), ``v0``, ``v1``, none across a midnight.

    ``rows`` has ``t`` in seconds, rising; rows without the value are passed over.
    """
    known = rows.lazy().select("t", v=value).filter(pl.col("v").is_not_null())
    every = known.select(t0="t", t1=pl.col("t").shift(-1), v0="v", v1=pl.col("v").shift(-1))
    every = every.filter((_LENGTH > 0) & (gap_limit_s >= _LENGTH))
    midnight = (_START // DAY_S + 1) * DAY_S
    over = every.filter(midnight < _END).with_columns(
        midnight=midnight, at_midnight=_V0 + (_V1 - _V0) * (midnight - _START) / _LENGTH)
    return pl.concat([
        every.filter(midnight >= _END),
        over.select("t0", t1="midnight", v0="v0", v1="at_midnight"),
        over.select(t0="midnight", t1="t1", v0="at_midnight", v1="v1"),
    ])


def by_day(parts: pl.LazyFrame, **sums: pl.Expr) -> pl.LazyFrame:
    """For each day (number since 1970) the seconds known, the integral over time (``area``), and further sums."""
    worked_out = parts.select(
        day=_START // DAY_S, seconds=_LENGTH, area=(_V0 + _V1) / 2 * _LENGTH, **sums)
    return worked_out.group_by("day").sum()


def seconds_below(limit: float) -> pl.Expr:
    """Seconds of a span below a limit, counted to where the line crosses it."""
    return _share_below(limit) * _LENGTH


def seconds_above(limit: float) -> pl.Expr:
    """Seconds of a span at or above a limit."""
    return _LENGTH - seconds_below(limit)


def degree_seconds_below(limit: float) -> pl.Expr:
    """Integral of (limit - value) over the part of a span below the limit."""
    depth = ((limit - _LOW).clip(0) + (limit - _HIGH).clip(0)) / 2
    return depth * _share_below(limit) * _LENGTH


def degree_seconds_above(limit: float) -> pl.Expr:
    """Integral of (value - limit) over the part of a span above the limit."""
    return degree_seconds_below(limit) - (limit - (_V0 + _V1) / 2) * _LENGTH


def _share_below(limit: float) -> pl.Expr:
    level = 1e-12  # a level span has no slope to divide by; it is then wholly below, or wholly not
    return ((limit - _LOW) / (_HIGH - _LOW + level)).clip(0, 1)
