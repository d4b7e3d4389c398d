"""Measures of the climate log over a window of days: pure functions over the day table, one for each measure id."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final

from diagnose.frozen import frozen
from diagnose.intake.records.days import Days
from diagnose.intake.records.physics import MOL_PER_UMOL
from diagnose.intake.records.spans import DAY_S
from diagnose.intake.records.window import Reading, Window

__all__ = ["CLIMATE_MEASURES", "ClimateMeasure"]

WHOLE_DAY_S: Final = 0.75 * DAY_S  # a day known for less than this shows neither its lowest nor its highest


@frozen
class ClimateMeasure:
    """How a measure is found: its unit, the quantity of the day table it needs, the need of the group, the function.

    The function gives None where nothing is known; whether enough is known is for the caller to judge by coverage.
    """

    unit: str
    quantity: str
    find: Callable[[Days, Window, float], Reading | None]
    need: str = ""


def _mean(days: Days, window: Window, _: float) -> Reading | None:
    """Mean over the known time of the window."""
    return _rate(days, window, lambda day: days.sums[day].area)


def _hours_a_day(name: str) -> Callable[[Days, Window, float], Reading | None]:
    """Hours (or degrees times hours) a day of a sum of the day table, for each known day's worth of time."""
    def find(days: Days, window: Window, _: float) -> Reading | None:
        return _rate(days, window, lambda day: days.sums[day].more[name] * 24)
    return find


def _rate(days: Days, window: Window, sum_of: Callable[[int], float]) -> Reading | None:
    known = [day for day in range(window.first, window.last + 1) if day in days.sums]
    seconds = sum(days.sums[day].seconds for day in known)
    return Reading(sum(map(sum_of, known)) / seconds, seconds / (window.length * DAY_S)) if seconds else None


def _of_whole_days(days: Days, window: Window, value_of: Callable[[int], float]) -> Reading | None:
    """Mean of a value of each day, over the days known for most of their hours."""
    whole = _whole_days(days, window)
    return Reading(sum(map(value_of, whole)) / len(whole), len(whole) / window.length) if whole else None


def _whole_days(days: Days, window: Window) -> list[int]:
    every = range(window.first, window.last + 1)
    return [day for day in every if day in days.sums and days.sums[day].seconds >= WHOLE_DAY_S]


def _usual_low(days: Days, window: Window, _: float) -> Reading | None:
    return _of_whole_days(days, window, lambda day: days.extremes[day].low)


def _usual_high(days: Days, window: Window, _: float) -> Reading | None:
    return _of_whole_days(days, window, lambda day: days.extremes[day].high)


def _usual_span(days: Days, window: Window, _: float) -> Reading | None:
    return _of_whole_days(days, window, lambda day: days.extremes[day].high - days.extremes[day].low)


def _light_sum(days: Days, window: Window, _: float) -> Reading | None:
    return _of_whole_days(days, window, lambda day: days.sums[day].area * MOL_PER_UMOL)


def _lowest(days: Days, window: Window, _: float) -> Reading | None:
    return _extreme(days, window, min(_readings(days, window, low=True), default=None))


def _highest(days: Days, window: Window, _: float) -> Reading | None:
    return _extreme(days, window, max(_readings(days, window, low=False), default=None))


def _readings(days: Days, window: Window, *, low: bool) -> list[float]:
    found = [days.extremes[day] for day in range(window.first, window.last + 1) if day in days.extremes]
    return [each.low if low else each.high for each in found]


def _extreme(days: Days, window: Window, value: float | None) -> Reading | None:
    known = _mean(days, window, 0)
    return Reading(value, known.coverage) if known and value is not None else None


def _largest_swing(days: Days, window: Window, _: float) -> Reading | None:
    """Widest span within 24 hours: on the first day of the window its own, then that of the hours up to each day."""
    first = days.extremes.get(window.first)
    found = [days.swing_24h[day] for day in range(window.first + 1, window.last + 1) if day in days.swing_24h]
    return _extreme(days, window, max([*found, *([first.high - first.low] if first else [])], default=None))


def _nights_at(days: Days, window: Window, limit: float) -> Reading | None:
    """Nights at or below a limit; those of unknown days are taken to be as frequent as among the known ones."""
    whole = _whole_days(days, window)
    if not whole:
        return None
    share = sum(days.extremes[day].low <= limit for day in whole) / len(whole)
    return Reading(float(round(share * window.length)), len(whole) / window.length)


CLIMATE_MEASURES: Final[Mapping[str, ClimateMeasure]] = {
    "relative_humidity_mean": ClimateMeasure("%", "humidity", _mean),
    "relative_humidity_low": ClimateMeasure("%", "humidity", _usual_low),
    "relative_humidity_high": ClimateMeasure("%", "humidity", _usual_high),
    "temperature_mean": ClimateMeasure("C", "temperature", _mean),
    "temperature_night_low": ClimateMeasure("C", "temperature", _usual_low),
    "temperature_day_high": ClimateMeasure("C", "temperature", _usual_high),
    "temperature_coldest": ClimateMeasure("C", "temperature", _lowest),
    "temperature_hottest": ClimateMeasure("C", "temperature", _highest),
    "vapour_pressure_deficit_mean": ClimateMeasure("kPa", "deficit", _mean),
    "dew_point_mean": ClimateMeasure("C", "dew", _mean),
    "day_night_difference": ClimateMeasure("C", "temperature", _usual_span),
    "largest_swing_24h": ClimateMeasure("C", "temperature", _largest_swing),
    "hours_below_need": ClimateMeasure("h/day", "temperature", _hours_a_day("below"), "night_low_c"),
    "hours_above_need": ClimateMeasure("h/day", "temperature", _hours_a_day("above"), "day_high_c"),
    "degree_hours_below_need": ClimateMeasure("C h/day", "temperature", _hours_a_day("depth"), "night_low_c"),
    "degree_hours_above_need": ClimateMeasure("C h/day", "temperature", _hours_a_day("height"), "day_high_c"),
    "wet_hours": ClimateMeasure("h/day", "humidity", _hours_a_day("wet")),
    "nights_at_cue": ClimateMeasure("nights", "temperature", _nights_at, "bloom_cue_night_c"),
    "daily_light_integral": ClimateMeasure("mol/m2/day", "photons", _light_sum),
    "light_peak_lux": ClimateMeasure("lux", "light", _usual_high),
}
