"""Amounts of the care log as they are typed: ``150 ppm N; pH 6.0``, ``1/2 tsp per gallon``."""

from __future__ import annotations

import re
from collections.abc import Iterable

from diagnose.frozen import frozen
from diagnose.intake.records.physics import (
    GRAMS_PER_OUNCE,
    GRAMS_PER_TEASPOON,
    LITRES_PER_GALLON,
    LITRES_PER_IMPERIAL_GALLON,
    fahrenheit_to_celsius,
)
from diagnose.intake.records.terms import UNITS

__all__ = ["Dose", "doses_in", "known_unit", "number_in", "water_temperature_c",
           "with_numbers"]

_NUMBER = r"(?<!\d)\d++(?:[.,]\d++)?+"  # a row of digits is gone over once, however long
_PER_WHAT = r"(?:\s?/\s?(?:(?:us|imp|imperial) )?[A-Za-z]+)?"
_DOSE = re.compile(rf"({_NUMBER})\s*([°º]?[A-Za-zµμ]+{_PER_WHAT}(?:\s(?:[Nn]\b|gal\w*))?)")
_UNIT_FIRST = re.compile(rf"([pP][hH])\s*:?\s*({_NUMBER})")
_LABEL = re.compile(r"(?<![\d-])\d+(?:[.,]\d+)?(?:-\d+(?:[.,]\d+)?){2}(?!\d)")
_FRACTION = re.compile(r"(?<![\d/.,])(?:(\d{1,6})\s+)?(\d)\s?/\s?([2-8])(?![\d/])")
_SIGNS = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅓": "1/3", "⅛": "1/8"}
_PER = re.compile(r"(?<=[a-z])\s+(?:per|an?|to the|to a)\s+(?=(?:us |imp(?:erial)? )?gal|lit|l\b)", re.IGNORECASE)
_SPELLINGS = {unit.casefold(): unit for unit in UNITS} | {
    "ppmn": "ppm N", "mg/l n": "ppm N", "°c": "C", "ºc": "C", "litre": "l", "litres": "l", "liter": "l",
    "liters": "l", "minutes": "min", "minute": "min", "gram": "g", "grams": "g", "ds/m": "mS/cm",
}
_SCALED = {"µs/cm": ("mS/cm", 0.001), "μs/cm": ("mS/cm", 0.001), "us/cm": ("mS/cm", 0.001)}
_MASSES = {"g": 1.0, "gram": 1.0, "grams": 1.0, "oz": GRAMS_PER_OUNCE, "ounce": GRAMS_PER_OUNCE}
_SPOONS = {"tsp": 1.0, "teaspoon": 1.0, "teaspoons": 1.0, "tbsp": 3.0, "tablespoon": 3.0, "tablespoons": 3.0}
_VOLUMES = {"l": 1.0, "litre": 1.0, "liter": 1.0} | {
    name: litres for litres, names in {LITRES_PER_GALLON: ("gal", "gallon", "gallons", "us gal", "us gallon"),
                                       LITRES_PER_IMPERIAL_GALLON: ("imp gal", "imperial gallon", "imperial gal")
                                       }.items() for name in names}
_FAHRENHEIT = frozenset({"f", "°f", "ºf"})


@frozen
class Dose:
    """An amount with its unit, one of the units of the care log (``terms.UNITS``); ``rough`` if measured by spoon."""

    amount: float
    unit: str
    rough: bool = False


def number_in(text: str) -> float | None:
    """The number that a cell holds, with decimal point or comma; None if it is not a plain number."""
    plain = text.strip().replace("−", "-").replace(",", ".")
    return float(plain) if re.fullmatch(r"-?\d+(\.\d+)?", plain) else None


def known_unit(amount: float, unit: str) -> Dose | None:
    """The dose in a unit of the care log, whatever the spelling; None for a unit that is not known."""
    plain = re.sub(r"\s*/\s*", "/", " ".join(unit.split())).casefold()
    if plain in _FAHRENHEIT:
        return Dose(fahrenheit_to_celsius(amount), "C")
    if plain in _SCALED:
        name, factor = _SCALED[plain]
        return Dose(amount * factor, name)
    return Dose(amount, _SPELLINGS[plain]) if plain in _SPELLINGS else _by_spoon_or_gallon(amount, plain)


def _by_spoon_or_gallon(amount: float, unit: str) -> Dose | None:
    """Grams of spoons and ounces, litres of gallons, and one in the other."""
    what, _, volume = unit.partition("/")
    rough = what in _SPOONS
    grams = _SPOONS[what] * GRAMS_PER_TEASPOON if rough else _MASSES.get(what)
    if grams is None:
        return Dose(amount * _VOLUMES[unit], "l") if unit in _VOLUMES else None
    if not volume:
        return Dose(amount * grams, "g", rough)
    return Dose(amount * grams / _VOLUMES[volume], "g/l", rough) if volume in _VOLUMES else None


def with_numbers(text: str) -> str:
    """Fractions as numbers and "a gallon" as "/gallon": ``1/2 tsp per gallon`` becomes ``0.5 tsp/gallon``."""
    for sign, fraction in _SIGNS.items():
        text = text.replace(sign, f" {fraction}")
    text = _FRACTION.sub(lambda found: f"{int(found[1] or 0) + int(found[2]) / int(found[3]):g}", text)
    return _PER.sub("/", text)


def doses_in(detail: str) -> tuple[Dose, ...]:
    """Every dose in a free detail (``4 g in 4 l; pH 6.0``); words and numbers without a known unit are passed over."""
    found: list[Dose] = []
    for part in detail.split(";"):
        found += [Dose(float(number.replace(",", ".")), "pH") for _, number in _UNIT_FIRST.findall(part)]
        for number, unit in _DOSE.findall(with_numbers(_LABEL.sub(" ", part))):
            dose = known_unit(float(number.replace(",", ".")), unit) or known_unit(
                float(number.replace(",", ".")), unit.split()[0])
            found += [dose] if dose else []
    return tuple(found)


def water_temperature_c(doses: Iterable[Dose]) -> float | None:
    """Temperature of the water, C, where one of the doses is a temperature."""
    return next((dose.amount for dose in doses if dose.unit == "C"), None)
