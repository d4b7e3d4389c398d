"""Humidity: published tables and worked examples, and an independent library."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import psychrolib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnose.intake.records.physics import (
    dew_point_c,
    fahrenheit_to_celsius,
    saturation_vapour_pressure_kpa,
    vapour_pressure_deficit_kpa,
)
from tests.intake.records.numbers import NUMBERS, check_agrees, expected, inputs

psychrolib.SetUnitSystem(psychrolib.SI)
e0 = saturation_vapour_pressure_kpa
vpd = vapour_pressure_deficit_kpa


def humidity_for(temperature_c: float, dew_c: float) -> float:
    """Relative humidity whose dew point is the one given."""
    low, high = 0.1, 100.0
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if dew_point_c(temperature_c, middle) < dew_c else (low, middle)
    return low


def held(day: dict[str, float]) -> float:
    """Actual vapour pressure of a day from its extremes (FAO 56, equation 17)."""
    return (e0(day["Tmin"]) * day["RHmax"] + e0(day["Tmax"]) * day["RHmin"]) / 200


def largest_gap_pct() -> float:
    """Largest relative gap of the formula from an independent library over 0.05 to 45 C, in per cent."""
    warmths = [0.05 + 0.05 * step for step in range(900)]
    return 100 * max(abs(e0(t) * 1000 / psychrolib.GetSatVapPres(t) - 1) for t in warmths)


CHECKS: dict[str, Callable[[dict[str, Any]], Any]] = {
    "HUM-01": lambda i: [e0(t) for t in i["T_degC"]],
    "HUM-02": lambda i: [10 * e0(t) for t in i["T_degC"]],
    "HUM-03": lambda i: 10 * e0(i["T_degC"]),
    "HUM-06": lambda i: [e0(t) for t in i["T_degC"]],
    "HUM-07": lambda i: (e0(i["Tmax"]) + e0(i["Tmin"])) / 2,
    "HUM-08": lambda i: e0(i["Tmean"]),
    "HUM-11": held,
    "HUM-12": lambda i: e0(i["Tmin"]) * i["RHmax"] / 100,
    "HUM-13": lambda i: (e0(i["Tmin"]) + e0(i["Tmax"])) / 2 * i["RHmean"] / 100,
    "HUM-14": lambda i: (e0(i["Tmin"]) + e0(i["Tmax"])) / 2 - held(i),
    "HUM-15": lambda i: e0(i["Tdew"]),
    "HUM-25": lambda i: {"FAO56_eq11_tetens": largest_gap_pct()},
    "HUM-27": lambda i: {"eq11": e0(i["T_degC"])},
    "HUM-28": lambda i: [dew_point_c(t, rh) for t, rh in i["T_RH"]],
    "HUM-29": lambda i: dew_point_c(i["T_degC"], i["RH"]),
    "HUM-33": lambda i: [t - (100 - rh) / 5 - dew_point_c(t, rh) for t, rh in i["T_RH"]],
    "HUM-34": lambda i: [vpd(t, rh) for t, rh in i["T_RH"]],
    "HUM-35": lambda i: {"ea": e0(i["T_air"]) * i["RH"] / 100, "vpd_air": vpd(i["T_air"], i["RH"]),
                         "vpd_leaf": vpd(i["T_air"], i["RH"], i["T_leaf"])},
    "HUM-38": lambda i: e0(fahrenheit_to_celsius(i["T_degF"][1])) / e0(fahrenheit_to_celsius(i["T_degF"][0])),
    "HUM-44": lambda i: [t - dew_point_c(t, 90) for t in i["T_degC"]],
    "HUM-45": lambda i: [humidity_for(t, t - 2) for t in i["T_degC"]],
    "HUM-46": lambda i: {"onset_RH": [humidity_for(t, t - 1.8) for t in i["T_degC"]],
                         "end_RH": [humidity_for(t, t - 2.2) for t in i["T_degC"]]},
    "HUM-49": lambda i: [vpd(t, 90) for t in i["T_degC"]],
    "HUM-50": lambda i: [min(100, i["RH0"] * e0(i["T0"]) / e0(t)) for t in i["T1"]],
    "HUM-51": lambda i: {"td_at_100": dew_point_c(20, 100), "vpd_at_100": vpd(20, 100), "vpd_at_0": vpd(20, 0)},
    "HUM-52": lambda i: {"low": vpd(i["T"] - i["dT"], i["RH"] + i["dRH"]),
                         "high": vpd(i["T"] + i["dT"], i["RH"] - i["dRH"])},
    "HUM-54": lambda i: {"Tdew": dew_point_c(i["T"], i["RH"])},
    "HUM-56": lambda i: [[vpd(t, rh) for rh in i["RH"]] for t in i["T"]],
    "HUM-57": lambda i: {"dew_point_water": dew_point_c(i["T"], i["RH"])},
}


@pytest.mark.parametrize("number", CHECKS)
def test_humidity_number(number: str) -> None:
    """A published or worked figure of humidity comes out within its stated tolerance."""
    check_agrees(number, CHECKS[number](inputs(number)))


def test_every_humidity_number_is_checked() -> None:
    """No humidity figure of the data file is left without a check."""
    assert set(CHECKS) == {number for number in NUMBERS if number.startswith("HUM")}


def test_mean_of_pressures_is_not_pressure_of_mean() -> None:
    """Saturation at the mean temperature understates a day's mean saturation (FAO 56, example 3)."""
    assert expected("HUM-08") < expected("HUM-07") - 0.08


AIR = {"t": st.floats(0.5, 45), "rh": st.floats(5, 100)}


@settings(deadline=None)
@given(**AIR)
def test_deficit_agrees_with_library(t: float, rh: float) -> None:
    """The deficit is within 0.3 % of an independent library's saturation (HUM-25) over a lived-in range."""
    saturated = psychrolib.GetSatVapPres(t) / 1000
    assert vpd(t, rh) == pytest.approx(saturated * (1 - rh / 100), abs=0.003 * saturated)


@settings(deadline=None)
@given(**AIR)
def test_dew_point_agrees_with_library_above_freezing(t: float, rh: float) -> None:
    """The dew point is within 0.1 C of an independent library's wherever it lies above freezing (HUM-57)."""
    dew = dew_point_c(t, rh)
    if dew > 0.5:
        assert dew == pytest.approx(psychrolib.GetTDewPointFromRelHum(t, rh / 100), abs=0.1)


@settings(deadline=None)
@given(**AIR)
def test_bounds_of_air(t: float, rh: float) -> None:
    """A dew point is never above the air temperature, a deficit never negative (HUM-51)."""
    assert dew_point_c(t, rh) <= t + 1e-9
    assert vpd(t, rh) >= -1e-12
    assert math.isfinite(dew_point_c(t, rh))


def test_dew_point_of_no_vapour_is_refused() -> None:
    """Air without any vapour has no dew point."""
    with pytest.raises(ValueError, match="math domain"):
        dew_point_c(20, 0)
