"""What a feed holds: its label, such as ``13-3-15, 8 Ca, 2 MgO``, with the doses of the care log in ppm of elements."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Final

from diagnose.intake.records.doses import Dose
from diagnose.intake.records.physics import ELEMENT_SHARE, PPM_PER_MS_CM, ec_ms_cm_from_ppm, feed_ppm

__all__ = ["conductivity_ms_cm", "elements_ppm", "label_pct"]

WHOLE_PPM: Final = 1_000_000.0
_NUMBER = r"(?<!\d)\d++(?:[.,]\d++)?+"
_LABEL = re.compile(rf"(?<![\d-])({_NUMBER})-({_NUMBER})-({_NUMBER})(?!\d)")
_NITROGEN = re.compile(rf"({_NUMBER})\s*%\s*N\b|\bN\s*({_NUMBER})\s*%", re.IGNORECASE)
_FURTHER = re.compile(rf"({_NUMBER})\s*%?\s*(CaO|Ca|MgO|Mg)\b|\b(CaO|Ca|MgO|Mg)\s*:?\s*({_NUMBER})\s*%")
_SCALES = "|".join(map(str, PPM_PER_MS_CM))
_SCALE = re.compile(rf"\b({_SCALES})[ -]?scale|scale\s*(?:of\s*)?({_SCALES})\b", re.IGNORECASE)


def label_pct(detail: str) -> Mapping[str, float]:
    """Per cent of the elements N, P, K, Ca and Mg that a label in a detail states; what it does not state is unknown.

    The second and third figure of ``20-20-20`` are oxides, as labels have them, and so are CaO and MgO. A label of
    which a figure is over 100 states nothing.
    """
    found: dict[str, float] = {}
    label, share = _LABEL.search(detail), _NITROGEN.search(detail)
    if label:
        nitrogen, phosphate, potash = map(_number, label.groups())
        found = {"N": nitrogen, "P": phosphate * ELEMENT_SHARE["P2O5"], "K": potash * ELEMENT_SHARE["K2O"]}
    elif share:
        found["N"] = _number(share[1] or share[2])
    for before, name, other, after in _FURTHER.findall(detail):
        stated = name or other
        found[stated.removesuffix("O")] = _number(before or after) * ELEMENT_SHARE.get(stated, 1.0)
    return found if all(percent <= 100 for percent in found.values()) else {}


def elements_ppm(doses: Iterable[Dose], detail: str) -> Mapping[str, float]:
    """Strength of a feed in ppm of each element that can be told: from ppm N or grams a litre, and the label.

    A meter's ppm or mS/cm tells of all salts, not of an element, and is not turned into one. What would be more than
    the whole solution is not told.
    """
    return {name: ppm for name, ppm in _reckoned_ppm(doses, detail).items() if ppm <= WHOLE_PPM}


def _reckoned_ppm(doses: Iterable[Dose], detail: str) -> Mapping[str, float]:
    amounts: dict[str, float] = {}
    for dose in doses:
        amounts.setdefault(dose.unit, dose.amount)
    percent, rate = label_pct(detail), amounts.get("g/l")
    if rate is None and "g" in amounts and amounts.get("l", 0) > 0:
        rate = amounts["g"] / amounts["l"]
    if "ppm N" in amounts:
        nitrogen = amounts["ppm N"]
        shares = {name: nitrogen * value / percent["N"] for name, value in percent.items()} if percent.get("N") else {}
        return shares | {"N": nitrogen}
    return {name: feed_ppm(rate, value) for name, value in percent.items()} if rate is not None else {}


def conductivity_ms_cm(doses: Iterable[Dose], detail: str) -> float | None:
    """Conductivity of a solution: as stated, or from a meter's ppm where the detail names its scale (``500 scale``)."""
    scale = _SCALE.search(detail)
    for dose in doses:
        if dose.unit == "mS/cm":
            return dose.amount
        if dose.unit == "ppm" and scale:
            return ec_ms_cm_from_ppm(dose.amount, int(scale[1] or scale[2]))
    return None


def _number(text: str) -> float:
    return float(text.replace(",", "."))
