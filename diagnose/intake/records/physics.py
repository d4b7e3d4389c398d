"""Formulas of air, light and feed, each with its source. Pure functions; units are in the names.

Those typed with ``N`` take a number or a polars expression, so that a formula is written once.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final, TypeVar

if TYPE_CHECKING:
    import polars as pl

__all__ = [
    "ELEMENT_SHARE", "GRAMS_PER_OUNCE", "GRAMS_PER_TEASPOON", "LITRES_PER_GALLON", "LITRES_PER_IMPERIAL_GALLON",
    "LUX_PER_FOOT_CANDLE", "LUX_PER_UMOL", "MOL_PER_UMOL", "PPM_PER_MS_CM", "dew_point_c",
    "dew_point_from_log_c", "ec_ms_cm_from_ppm", "fahrenheit_to_celsius", "feed_ppm", "light_integral_mol",
    "ppm_from_ec_ms_cm", "saturation_vapour_pressure_kpa", "vapour_pressure_deficit_kpa",
]

N = TypeVar("N", float, "pl.Expr", "pl.Series")

LUX_PER_FOOT_CANDLE: Final = 1 / 0.3048**2  # one lumen a square foot in lumens a square metre, exact
# Lux for one umol/m2/s of light at 400-700 nm, by source: Photometric, radiometric and quantum light units of measure
# (HortScience, 1983). The white LED is a middle value from memory; published ones spread by 15 %.
LUX_PER_UMOL: Final[dict[str, float]] = {
    "sunlight": 54.0, "white_led": 70.0, "fluorescent": 74.0, "high_pressure_sodium": 82.0, "metal_halide": 71.0,
    "incandescent": 50.0,
}
MOL_PER_UMOL: Final = 1e-6
GRAMS_PER_TEASPOON: Final = 5.0  # of feed powder, level; published doses imply 4.7 to 6.1 g, so a quarter either way
LITRES_PER_GALLON: Final = 3.785411784  # of the United States, exact
LITRES_PER_IMPERIAL_GALLON: Final = 4.54609  # exact
GRAMS_PER_OUNCE: Final = 28.349523125  # exact
# Share of the element in the oxide by which labels give it, from atomic masses (Conversion factors needed for common
# fertilizer calculations, SPES-201). Where a label says 20-20-20 the second and third figure are oxides.
ELEMENT_SHARE: Final[dict[str, float]] = {"P2O5": 0.43643, "K2O": 0.83015, "MgO": 0.60304, "CaO": 0.71470}
# Scales of meters that print ppm: sodium chloride, the "442" mixture in two roundings.
PPM_PER_MS_CM: Final = (500, 640, 700)


def fahrenheit_to_celsius(temperature_f: N) -> N:
    """Degrees Celsius of a temperature (not of a difference) in degrees Fahrenheit."""
    return (temperature_f - 32) / 1.8


def saturation_vapour_pressure_kpa(temperature_c: N) -> N:
    """Vapour pressure of saturated air over water, kPa; good to 0.12 % from 0 to 45 C.

    Source: Crop evapotranspiration (FAO Irrigation and Drainage Paper 56), equation 11.
    """
    power: N = math.e ** (17.27 * temperature_c / (temperature_c + 237.3))
    return 0.6108 * power


def vapour_pressure_deficit_kpa(temperature_c: N, humidity_pct: N, leaf_c: N | None = None) -> N:
    """How much more vapour the air could hold, kPa; against the leaf's own saturation if its temperature is given.

    The deficit of the air is never negative for a humidity of 0 to 100 %; that of a leaf colder than the dew point is.
    Source: FAO Irrigation and Drainage Paper 56, chapter 3.
    """
    held = saturation_vapour_pressure_kpa(temperature_c) * (humidity_pct / 100)
    return saturation_vapour_pressure_kpa(temperature_c if leaf_c is None else leaf_c) - held


def dew_point_from_log_c(temperature_c: N, log_saturation: N) -> N:
    """Dew point over water, C, from the natural logarithm of the relative humidity as a fraction.

    Source: inverse Magnus form with the constants 17.625 and 243.04 C (Alduchov and Eskridge form of 1996).
    """
    term = log_saturation + 17.625 * temperature_c / (temperature_c + 243.04)
    return 243.04 * term / (17.625 - term)


def dew_point_c(temperature_c: float, humidity_pct: float) -> float:
    """Dew point over water, C, for a relative humidity above 0 up to 100 %. Raises ValueError at 0 % and below."""
    return dew_point_from_log_c(temperature_c, math.log(humidity_pct / 100))


def light_integral_mol(lux_seconds: float, lux_per_umol: float) -> float:
    """Light sum in mol/m2 from lux times seconds and the lux that one umol/m2/s of that source gives."""
    return lux_seconds / lux_per_umol * MOL_PER_UMOL


def feed_ppm(grams_per_litre: float, label_pct: float) -> float:
    """An element in mg/l (ppm) of a feed dissolved at a rate, from its per cent on the label.

    One gram in a litre is 1000 ppm of the whole, hence ten times the per cent. Source: common practice.
    """
    return grams_per_litre * label_pct * 10


def ppm_from_ec_ms_cm(ec_ms_cm: float, scale: int) -> float:
    """What a meter of that scale (500, 640 or 700 ppm for 1 mS/cm) prints as ppm. Raises ValueError for others."""
    return ec_ms_cm * _known_scale(scale)


def ec_ms_cm_from_ppm(ppm: float, scale: int) -> float:
    """Conductivity in mS/cm behind a meter's ppm of that scale; without the scale it cannot be told (40 % span)."""
    return ppm / _known_scale(scale)


def _known_scale(scale: int) -> int:
    if scale not in PPM_PER_MS_CM:
        raise ValueError(f"a meter's scale is one of {PPM_PER_MS_CM}, not {scale}")
    return scale
