"""The climate day by day: what every measure of a window is put together from."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import field
from typing import Final
from weakref import WeakKeyDictionary

import polars as pl

from diagnose.frozen import frozen
from diagnose.intake.records import spans
from diagnose.intake.records.climate import Climate
from diagnose.intake.records.physics import dew_point_from_log_c, vapour_pressure_deficit_kpa
from diagnose.intake.records.window import Window

__all__ = ["DayTable", "Days", "Extremes", "Sums", "day_table"]

WET_PCT: Final = 90.0  # from here on leaves hardly dry (relative humidity as estimator of leaf wetness duration)
_TEMPERATURE, _HUMIDITY = pl.col("temperature_c"), pl.col("humidity_pct")
_VALUES: Final[Mapping[str, pl.Expr]] = {
    "temperature": _TEMPERATURE,
    "humidity": _HUMIDITY,
    "deficit": vapour_pressure_deficit_kpa(_TEMPERATURE, _HUMIDITY),
    "dew": dew_point_from_log_c(_TEMPERATURE, (_HUMIDITY / 100).log()),
    "light": pl.col("light_lux"),
    "photons": pl.col("light_umol"),
}
_WITH_EXTREMES: Final = ("temperature", "humidity", "light")
_LIMITS: Final = ("night_low_c", "day_high_c")


@frozen
class Sums:
    """One quantity of one day: seconds known, integral over time, and sums by name (seconds or unit x seconds)."""

    seconds: float
    area: float
    more: Mapping[str, float]


@frozen
class Extremes:
    """Lowest and highest reading of a quantity on one day."""

    low: float
    high: float


@frozen
class Days:
    """One quantity by day number, extremes for temperature, humidity and light only unless others are asked for.

    ``swing_24h``, for the temperature, is the widest span within any 24 hours that end on the day.
    """

    sums: Mapping[int, Sums]
    extremes: Mapping[int, Extremes]
    swing_24h: Mapping[int, float] = field(default_factory=dict)


DayTable = Mapping[str, Days]


@frozen
class _Made:
    """A table worked out before, and what it was made of."""

    window: Window
    extremes: frozenset[str]
    limits: Mapping[str, float]
    table: DayTable

    def holds(self, window: Window, quantities: Collection[str], extremes: frozenset[str],
              limits: Mapping[str, float]) -> bool:
        """Whether all that is asked for stands in it."""
        return (self.window.first <= window.first and window.last <= self.window.last
                and self.table.keys() >= set(quantities) and self.extremes >= extremes
                and self.limits.items() >= limits.items())


_made: Final[WeakKeyDictionary[Climate, list[_Made]]] = WeakKeyDictionary()


def day_table(climate: Climate, window: Window, quantities: Collection[str], needs: Mapping[str, float],
              with_extremes: Collection[str] = _WITH_EXTREMES) -> DayTable:
    """The quantities asked for (temperature, humidity, deficit, dew, light, photons) for each day of a window.

    The sums of the temperature hold time and degrees x time ``below`` and ``depth`` under the group's night_low_c,
    ``above`` and ``height`` over its day_high_c, as far as these needs are given; those of the humidity ``wet``. Where
    an earlier table holds all this, it is that one; so a table may hold more, days before and after the window too.
    """
    extremes = frozenset(quantities) & frozenset(with_extremes)
    limits = {need: needs[need] for need in _LIMITS if need in needs}
    made = _made.setdefault(climate, [])
    for one in made:
        if one.holds(window, quantities, extremes, limits):
            return one.table
    table = _worked_out(climate, window, quantities, limits, extremes)
    made.append(_Made(window, extremes, limits, table))
    return table


def _worked_out(climate: Climate, window: Window, quantities: Collection[str], limits: Mapping[str, float],
                with_extremes: frozenset[str]) -> DayTable:
    margin = climate.gap_limit_s
    start, end = window.first * spans.DAY_S, (window.last + 1) * spans.DAY_S
    rows = climate.rows.filter(pl.col("t").is_between(start - margin, end + margin))
    names = [name for name in _VALUES if name in quantities]
    lazy = {name: spans.by_day(spans.spans(rows, _VALUES[name], margin), **_more(name, limits)) for name in names}
    lazy |= {f"{name} extremes": _extremes(rows, _VALUES[name]) for name in names if name in with_extremes}
    lazy |= {"swing": _swing(rows)} if "temperature" in names else {}
    found = dict(zip(lazy, pl.collect_all(lazy.values()), strict=True))
    return {name: _days(name, found) for name in names}


def _days(name: str, found: Mapping[str, pl.DataFrame]) -> Days:
    sums = {row.pop("day"): Sums(row.pop("seconds"), row.pop("area"), row)
            for row in found[name].iter_rows(named=True)}
    extremes = found[f"{name} extremes"].iter_rows() if f"{name} extremes" in found else ()
    swing = dict(found["swing"].iter_rows()) if name == "temperature" else {}
    return Days(sums, {day: Extremes(low, high) for day, low, high in extremes}, swing)


def _more(name: str, limits: Mapping[str, float]) -> dict[str, pl.Expr]:
    if name == "humidity":
        return {"wet": spans.seconds_above(WET_PCT)}
    more: dict[str, pl.Expr] = {}
    if name == "temperature" and "night_low_c" in limits:
        low = limits["night_low_c"]
        more |= {"below": spans.seconds_below(low), "depth": spans.degree_seconds_below(low)}
    if name == "temperature" and "day_high_c" in limits:
        high = limits["day_high_c"]
        more |= {"above": spans.seconds_above(high), "height": spans.degree_seconds_above(high)}
    return more


def _extremes(rows: pl.DataFrame, value: pl.Expr) -> pl.LazyFrame:
    day = (pl.col("t") // spans.DAY_S).set_sorted()
    known = rows.lazy().select(day=day, v=value).filter(pl.col("v").is_not_null())
    return known.group_by("day").agg(low=pl.col("v").min(), high=pl.col("v").max())


def _swing(rows: pl.DataFrame) -> pl.LazyFrame:
    """For each day the widest span of temperature within any 24 clock hours that end on it."""
    hour = (pl.col("t") // 3600).set_sorted()
    known = rows.lazy().select(hour=hour, v="temperature_c").filter(pl.col("v").is_not_null())
    hours = known.group_by("hour").agg(low=pl.col("v").min(), high=pl.col("v").max()).sort("hour")
    within = hours.rolling("hour", period="24i").agg(most=pl.col("high").max() - pl.col("low").min())
    return within.group_by(day=pl.col("hour") // 24).agg(pl.col("most").max())
