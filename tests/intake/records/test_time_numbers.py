"""Sums over time: irregular readings, gaps and limits against worked examples."""

from __future__ import annotations

import math
from typing import Any

import polars as pl
import pytest

from diagnose.intake.records import spans
from diagnose.intake.records.rows import gap_limit_s
from tests.intake.records.numbers import NUMBERS, check_agrees, expected, inputs

HOUR_S = 3600


def sums(times_h: list[float], values: list[float], gap_h: float = 24, **more: pl.Expr) -> dict[str, float]:
    """Seconds, integral and further sums over all days, of readings at hours with values."""
    rows = pl.DataFrame({"t": [round(hour * HOUR_S) for hour in times_h], "v": [float(value) for value in values]})
    days = spans.by_day(spans.spans(rows, pl.col("v"), gap_h * HOUR_S), **more).collect()
    return {name: float(days[name].sum()) for name in days.columns if name != "day"}


def mean(found: dict[str, float]) -> float:
    """Time-weighted mean."""
    return found["area"] / found["seconds"]


def test_degree_hours_below_by_linear_crossing() -> None:
    """Degree-hours below a limit follow the line to where it crosses (HEA-15), hours likewise (HEA-16)."""
    i = inputs("HEA-15")
    limit = float(i["threshold"])
    found = sums(i["t_h"], i["T"], depth=spans.degree_seconds_below(limit), below=spans.seconds_below(limit))
    check_agrees("HEA-15", {"linear_crossing": found["depth"] / HOUR_S})
    check_agrees("HEA-16", found["below"] / HOUR_S)


def test_sine_day_against_its_integral() -> None:
    """Degree-days above the mean of a sine day are those of calculus, not of its extremes (HEA-09)."""
    i = inputs("HEA-09")
    mid, swing = (i["Tmax"] + i["Tmin"]) / 2, (i["Tmax"] - i["Tmin"]) / 2
    hours = [step / 10 for step in range(241)]
    values = [mid + swing * math.sin(2 * math.pi * hour / 24) for hour in hours]
    found = sums(hours, values, height=spans.degree_seconds_above(float(i["base"])))
    check_agrees("HEA-09", {"sine": found["height"] / spans.DAY_S})


def test_degree_minutes_of_a_plateau() -> None:
    """One-minute readings add up to all of their degree-minutes (HEA-11: the printed 150 forgets the plateau)."""
    values = [*range(1, 11), *([10] * 60), *range(9, 0, -1)]
    minutes = [minute / 60 for minute in range(len(values) + 2)]
    found = sums(minutes, [0, *values, 0], height=spans.degree_seconds_above(0.0))
    check_agrees("HEA-11", {"degree_minutes": found["height"] / 60, "degree_days": found["height"] / spans.DAY_S})


def test_mean_of_an_irregular_series() -> None:
    """The mean of an irregular series is the area under its straight lines (HEA-17)."""
    i = inputs("HEA-17")
    check_agrees("HEA-17", {"trapezoid": mean(sums([t / HOUR_S for t in i["t"]], i["v"]))})


def test_gap_is_not_bridged() -> None:
    """A gap longer than the limit is unknown: coverage and mean leave it out (HEA-19)."""
    i = inputs("HEA-19")
    found = sums(i["times_h"], i["T"], i["max_gap_h"])
    length = (i["times_h"][-1] - i["times_h"][0]) * HOUR_S
    check_agrees("HEA-19", {"covered_h": found["seconds"] / HOUR_S, "coverage": found["seconds"] / length,
                     "mean_covered": mean(found)})
    assert gap_limit_s(HOUR_S) == i["max_gap_h"] * HOUR_S


@pytest.mark.parametrize(("day", "night", "wanted"), [(30, 25, 27.5), (25, 30, 27.5), (25, 20, 22.5), (20, 25, 22.5)])
def test_daily_mean_of_two_half_days(day: float, night: float, wanted: float) -> None:
    """A day of twelve hours at each of two temperatures has their mean (HEA-25)."""
    found = sums([0, 6, 6 + 1e-3, 18, 18 + 1e-3, 24], [night, night, day, day, night, night])
    assert mean(found) == pytest.approx(wanted, abs=1e-3)
    assert wanted in expected("HEA-25")


def test_daily_mean_weighs_by_hours() -> None:
    """A short winter day weighs as many hours as it has (HEA-26)."""
    i = inputs("HEA-26")
    dawn, dusk = 12 - i["day_h"] / 2, 12 + i["day_h"] / 2
    found = sums([0, dawn, dawn + 1e-3, dusk, dusk + 1e-3, 24],
                 [i["T_night"], i["T_night"], i["T_day"], i["T_day"], i["T_night"], i["T_night"]])
    assert mean(found) == pytest.approx(expected("HEA-26")["adt"], abs=1e-3)


def test_span_over_midnight_belongs_to_both_days() -> None:
    """A span over a midnight is split there, with the value that the line has at that moment."""
    rows = pl.DataFrame({"t": [23 * HOUR_S, 25 * HOUR_S], "v": [10.0, 14.0]})
    days = spans.by_day(spans.spans(rows, pl.col("v"), 6 * HOUR_S)).collect().sort("day")
    assert days["seconds"].to_list() == [HOUR_S, HOUR_S]
    assert [area / HOUR_S for area in days["area"]] == pytest.approx([11, 13])


@pytest.mark.parametrize(("value", "below"), [(12.9, 1.0), (13.0, 0.0), (13.1, 0.0)])
def test_level_span_is_wholly_below_or_not(value: float, below: float) -> None:
    """A span without slope lies below a limit for its whole time, or for none of it; at the limit for none."""
    found = sums([0, 1], [value, value], below=spans.seconds_below(13.0), above=spans.seconds_above(13.0))
    assert found["below"] / HOUR_S == pytest.approx(below, abs=1e-6)
    assert found["above"] / HOUR_S == pytest.approx(1 - below, abs=1e-6)


def test_every_time_number_is_checked() -> None:
    """No time figure of the data file is left without a check."""
    checked = {"HEA-07", "HEA-09", "HEA-11", "HEA-15", "HEA-16", "HEA-17", "HEA-19", "HEA-25", "HEA-26"}
    assert checked == {number for number in NUMBERS if number.startswith("HEA")}


def test_gap_limits() -> None:
    """Two usual steps, but at least two and at most six hours."""
    wanted: dict[float, Any] = {0: 2, 60: 2, 1800: 2, 3600: 2, 7200: 4, 10800: 6, 43200: 6}
    assert {step: gap_limit_s(step) / HOUR_S for step in wanted} == wanted
