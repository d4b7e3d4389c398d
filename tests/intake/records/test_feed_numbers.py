"""Feed: published and worked figures of ppm N, conductivity and doses, and an independent library of units."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnose.intake.records.doses import doses_in, nitrogen_ppm
from diagnose.intake.records.physics import (
    PPM_PER_MS_CM,
    ec_ms_cm_from_ppm,
    fahrenheit_to_celsius,
    feed_ppm_n,
    ppm_from_ec_ms_cm,
)
from tests.intake.records.numbers import NUMBERS, check_agrees, inputs

UNITS = pint.UnitRegistry()
OUNCE_IN_100_GALLONS_G_L = UNITS("1 ounce / (100 gallon)").to("gram / liter").magnitude
CHECKS: dict[str, Callable[[dict[str, Any]], Any]] = {
    "FED-01": lambda i: [feed_ppm_n(rate, percent) for rate, percent in i["g_per_L_pctN"]],
    "FED-02": lambda i: feed_ppm_n(OUNCE_IN_100_GALLONS_G_L, 100),
    "FED-03": lambda i: {"ppm_per_oz": feed_ppm_n(OUNCE_IN_100_GALLONS_G_L, i["pctN"]),
                         "oz": i["target"] / feed_ppm_n(OUNCE_IN_100_GALLONS_G_L, i["pctN"])},
    "FED-04": lambda i: feed_ppm_n(OUNCE_IN_100_GALLONS_G_L, i["pctN"]),
    "FED-18": lambda i: {"NO3_N": feed_ppm_n(i["g_per_L"], 14.4), "total_N": feed_ppm_n(i["g_per_L"], 15.5)},
    "FED-25": lambda i: {name: feed_ppm_n(i["g"] / UNITS(f"1 {unit}").to("liter").magnitude, i["pctN"])
                         for name, unit in (("us_gallon", "gallon"), ("imperial_gallon", "imperial_gallon"),
                                            ("litre", "liter"))},
    "FED-27": lambda i: {str(scale): ppm_from_ec_ms_cm(i["mS_cm"], scale) for scale in PPM_PER_MS_CM},
    "FED-28": lambda i: [ppm_from_ec_ms_cm(i["uS_cm"] / 1000, scale) for scale in (700, 500)],
    "FED-29": lambda i: {str(scale): ec_ms_cm_from_ppm(i["ppm"], scale) for scale in PPM_PER_MS_CM},
    "FED-30": lambda i: ppm_from_ec_ms_cm(i["uS_cm"] / 1000, 500),
}


@pytest.mark.parametrize("number", CHECKS)
def test_feed_number(number: str) -> None:
    """A published or worked figure of feeding comes out within its stated tolerance."""
    found = CHECKS[number](inputs(number))
    wanted = NUMBERS[number]["expected"]
    check_agrees(number, found, wanted[: len(found)] if isinstance(wanted, list) else None)


def test_every_feed_number_is_checked() -> None:
    """No feed figure of the data file is left without a check."""
    assert set(CHECKS) == {number for number in NUMBERS if number.startswith("FED")}


def test_unknown_meter_scale_is_refused() -> None:
    """A meter's ppm cannot be turned into conductivity without one of the known scales (FED-29: a 40 % span)."""
    with pytest.raises(ValueError, match="scale"):
        ec_ms_cm_from_ppm(700, 600)


@settings(deadline=None)
@given(st.floats(0.01, 30), st.sampled_from(PPM_PER_MS_CM))
def test_conductivity_there_and_back(ec: float, scale: int) -> None:
    """Conductivity turned into ppm and back is unchanged."""
    assert ec_ms_cm_from_ppm(ppm_from_ec_ms_cm(ec, scale), scale) == pytest.approx(ec)


@settings(deadline=None)
@given(st.floats(-60, 200))
def test_fahrenheit_agrees_with_library(fahrenheit: float) -> None:
    """Fahrenheit becomes Celsius as in an independent unit library."""
    wanted = UNITS.Quantity(fahrenheit, "degF").to("degC").magnitude
    assert fahrenheit_to_celsius(fahrenheit) == pytest.approx(wanted, abs=1e-9)


def test_published_fahrenheit_figure() -> None:
    """55 F is 12.78 C; the lesson that prints 12 is wrong (HEA-07)."""
    check_agrees("HEA-07", fahrenheit_to_celsius(55.0))


@pytest.mark.parametrize(("detail", "ppm"), [
    ("150 ppm N; pH 6.0", 150), ("0.5 g/l; 20-20-20", 100), ("4 g in 4 l, 20-10-20", 200), ("0,5 g/l of 15 % N", 75),
    ("1 g/l", None), ("20-20-20", None), ("2 mS/cm", None), ("500 ppm", None), ("", None), ("5 ml in 2 l; 6-5-5", None),
])
def test_strength_of_a_feed_as_typed(detail: str, ppm: float | None) -> None:
    """ppm N comes from what is stated or from grams and label, and from nothing else (common practice)."""
    found = nitrogen_ppm(doses_in(detail), detail)
    assert found == (None if ppm is None else pytest.approx(ppm))
