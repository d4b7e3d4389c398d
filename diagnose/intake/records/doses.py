"""Amounts of the care log: ``150 ppm N; pH 6.0``, a label such as 20-20-20, and what they mean together."""

from __future__ import annotations

import re
from collections.abc import Iterable

from diagnose.frozen import frozen
from diagnose.intake.records.physics import fahrenheit_to_celsius, feed_ppm_n
from diagnose.intake.records.terms import UNITS

__all__ = ["Dose", "doses_in", "known_unit", "label_nitrogen_pct", "nitrogen_ppm", "number_in", "water_temperature_c"]

_NUMBER = r"\d+(?:[.,]\d+)?"
_DOSE = re.compile(rf"({_NUMBER})\s*([°º]?[A-Za-zµμ]+(?:\s?/\s?[A-Za-z]+)?(?:\s[Nn]\b)?)")
_UNIT_FIRST = re.compile(rf"([pP][hH])\s*:?\s*({_NUMBER})")
_LABEL = re.compile(rf"(?<![\d-])({_NUMBER})-({_NUMBER})-({_NUMBER})(?![\d-])")
_NITROGEN = re.compile(rf"({_NUMBER})\s*%\s*N\b|\bN\s*({_NUMBER})\s*%", re.IGNORECASE)
_SPELLINGS = {unit.casefold(): unit for unit in UNITS} | {
    "ppmn": "ppm N", "mg/l n": "ppm N", "°c": "C", "ºc": "C", "litre": "l", "litres": "l", "liter": "l",
    "liters": "l", "minutes": "min", "minute": "min", "gram": "g", "grams": "g", "ds/m": "mS/cm",
}
_SCALED = {"µs/cm": ("mS/cm", 0.001), "μs/cm": ("mS/cm", 0.001), "us/cm": ("mS/cm", 0.001)}
_FAHRENHEIT = frozenset({"f", "°f", "ºf"})


@frozen
class Dose:
    """An amount with its unit, one of the units of the care log (``terms.UNITS``)."""

    amount: float
    unit: str


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
    return Dose(amount, _SPELLINGS[plain]) if plain in _SPELLINGS else None


def doses_in(detail: str) -> tuple[Dose, ...]:
    """Every dose in a free detail (``4 g in 4 l; pH 6.0``); words and numbers without a known unit are passed over."""
    found: list[Dose] = []
    for part in detail.split(";"):
        found += [Dose(float(number.replace(",", ".")), "pH") for _, number in _UNIT_FIRST.findall(part)]
        for number, unit in _DOSE.findall(_LABEL.sub(" ", part)):
            dose = known_unit(float(number.replace(",", ".")), unit) or known_unit(
                float(number.replace(",", ".")), unit.split()[0])
            found += [dose] if dose else []
    return tuple(found)


def label_nitrogen_pct(detail: str) -> float | None:
    """Per cent of nitrogen from a label in a detail: ``20-10-20`` or ``15 % N``; None if there is none, or over 100."""
    label = _LABEL.search(detail)
    share = _NITROGEN.search(detail)
    text = label[1] if label else (share[1] or share[2]) if share else ""
    percent = float(text.replace(",", ".")) if text else None
    return percent if percent is not None and percent <= 100 else None


def nitrogen_ppm(doses: Iterable[Dose], detail: str) -> float | None:
    """Strength of a feed in ppm N: as stated, or from grams a litre and the label; None where it cannot be told.

    A meter's ppm or mS/cm tells of all salts, not of nitrogen, and is not turned into ppm N.
    """
    amounts: dict[str, float] = {}
    for dose in doses:
        amounts.setdefault(dose.unit, dose.amount)
    if "ppm N" in amounts:
        return amounts["ppm N"]
    rate = amounts.get("g/l")
    if rate is None and "g" in amounts and amounts.get("l", 0) > 0:
        rate = amounts["g"] / amounts["l"]
    percent = label_nitrogen_pct(detail)
    return feed_ppm_n(rate, percent) if rate is not None and percent is not None else None


def water_temperature_c(doses: Iterable[Dose]) -> float | None:
    """Temperature of the water, C, where one of the doses is a temperature."""
    return next((dose.amount for dose in doses if dose.unit == "C"), None)
