"""Light and length of day: published factors and tables, worked examples, and independent libraries."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import Any

import astral
import astral.sun
import pint
import polars as pl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnose.intake.records import measure
from diagnose.intake.records.physics import LUX_PER_FOOT_CANDLE, LUX_PER_UMOL, light_integral_mol
from diagnose.intake.records.spans import by_day, spans
from diagnose.model.daylight import SUNRISE_ZENITH_DEG, day_length_h
from tests.intake.records.numbers import NUMBERS, check_agrees, inputs

SUN = LUX_PER_UMOL["sunlight"]
NAMES = {"sunlight": "sunlight", "sun_and_sky": "sunlight", "cool_white_fluorescent": "fluorescent"}


def factor(source: str) -> float:
    """Lux for one umol/m2/s by the name that a publication gives a source."""
    return LUX_PER_UMOL[NAMES.get(source, source)]


def per_foot_candle(sources: dict[str, float]) -> dict[str, float]:
    """Photon flux of one foot-candle for each source."""
    return {source: LUX_PER_FOOT_CANDLE / factor(source) for source in sources}


def mol(ppfd: float, hours: float) -> float:
    """Light sum of a steady photon flux, by way of lux of sunlight."""
    return light_integral_mol(ppfd * SUN * hours * 3600, SUN)


def lux_hours(times_h: list[float], lux: list[float]) -> float:
    """Integral of irregular readings over straight lines between them."""
    rows = pl.DataFrame({"t": [int(hour * 3600) for hour in times_h], "lux": [float(value) for value in lux]})
    return float(by_day(spans(rows, pl.col("lux"), 6 * 3600)).collect()["area"].sum()) / 3600


def day(latitude: float, text: str) -> float:
    """Length of a day given as month and day of 2024, or as a whole date."""
    return day_length_h(latitude, dt.date.fromisoformat(text if len(text) > 5 else f"2024-{text}"))


CHECKS: dict[str, Callable[[dict[str, Any]], Any]] = {
    "LIT-01": lambda i: LUX_PER_FOOT_CANDLE,
    "LIT-05": lambda i: per_foot_candle(NUMBERS["LIT-05"]["expected"]),
    "LIT-06": lambda i: per_foot_candle(NUMBERS["LIT-06"]["expected"]),
    "LIT-07": lambda i: i["fc"] * LUX_PER_FOOT_CANDLE / SUN,
    "LIT-08": lambda i: i["fc"] * LUX_PER_FOOT_CANDLE / LUX_PER_UMOL["fluorescent"],
    "LIT-09": lambda i: i["lux"] / SUN,
    "LIT-10": lambda i: i["ppfd"] * SUN,
    "LIT-11": lambda i: i["lux"] / SUN,
    "LIT-12": lambda i: [mol(1, 24), mol(1, 1)],
    "LIT-13": lambda i: mol(i["ppfd"], i["hours"]),
    "LIT-14": lambda i: [mol(ppfd, hours) for ppfd, hours in i["ppfd_hours"]],
    "LIT-15": lambda i: light_integral_mol(sum(i["hourly_fc"]) * LUX_PER_FOOT_CANDLE * 3600, SUN),
    "LIT-16": lambda i: light_integral_mol(lux_hours(i["time_h"], i["lux"]) * 3600, i["lux_per_umol"]),
    "LIT-20": lambda i: SUNRISE_ZENITH_DEG,
    "LIT-26": lambda i: [day(latitude, text) for latitude, text in i["cases"]],
    "LIT-27": lambda i: [day(latitude, text) for latitude, text in
                         zip(i["lat"], ("06-20", "12-21", "06-20", "12-21"), strict=True)],
    "LIT-28": lambda i: [day(latitude, text) for latitude, text in i["lat_date"]],
    "LIT-30": lambda i: day(i["lat"], i["date"]),
}
READ_ONLY = {"LIT-02", "LIT-17", "LIT-29", "LIT-33"}  # factors, limits and a trap: tested one by one below


@pytest.mark.parametrize("number", CHECKS)
def test_light_number(number: str) -> None:
    """A published or worked figure of light comes out within its stated tolerance."""
    check_agrees(number, CHECKS[number](inputs(number)))


def test_every_light_number_is_checked() -> None:
    """No light figure of the data file is left without a check."""
    assert set(CHECKS) | READ_ONLY == {number for number in NUMBERS if number.startswith("LIT")}


def test_factors_are_the_published_ones() -> None:
    """Lux for one umol/m2/s by source is as printed in the HortScience review of 1983 (LIT-02)."""
    printed = NUMBERS["LIT-02"]["expected"]
    for source in ("sun_and_sky", "metal_halide", "high_pressure_sodium", "cool_white_fluorescent", "incandescent"):
        assert factor(source) == printed[source]


def test_factor_of_white_led_lies_in_its_spread() -> None:
    """The factor of white LED lies between those of its warm and cool kinds (LIT-33, from memory)."""
    assert NUMBERS["LIT-33"]["expected"]["low"] < LUX_PER_UMOL["white_led"] < NUMBERS["LIT-33"]["expected"]["high"]


def test_limits_of_light_sums_hold_published_ranges() -> None:
    """The most light taken for possible is no less than published ranges, and not far above them (LIT-17)."""
    ranges = NUMBERS["LIT-17"]["expected"]
    assert ranges["outdoor"][1] <= measure.MOST_SUN_MOL <= ranges["outdoor"][1] + 5
    assert measure.MOST_LIGHT_MOL["indoors"] == ranges["greenhouse"][1]


def test_polar_day_and_night() -> None:
    """Where the sun does not set or rise, the day has 24 or 0 hours (LIT-29)."""
    assert day_length_h(70, dt.date(2024, 6, 20)) == 24
    assert day_length_h(70, dt.date(2024, 12, 21)) == 0
    assert day_length_h(-90, dt.date(2024, 12, 21)) == 24


@settings(deadline=None)
@given(st.floats(-60, 60), st.dates(dt.date(2000, 1, 1), dt.date(2040, 12, 31)))
def test_day_length_agrees_with_library(latitude: float, date: dt.date) -> None:
    """Day length is within three minutes of an independent library up to 60 degrees of latitude."""
    sun = astral.sun.daylight(astral.Observer(latitude, 0.0, 0.0), date, dt.UTC)
    assert day_length_h(latitude, date) == pytest.approx((sun[1] - sun[0]).total_seconds() / 3600, abs=0.05)


def test_foot_candle_agrees_with_library() -> None:
    """A foot-candle is a lumen a square foot, in lux by an independent unit library."""
    units = pint.UnitRegistry()
    assert units("1 lumen / foot ** 2").to("lux").magnitude == pytest.approx(LUX_PER_FOOT_CANDLE)
