"""How each logged quantity is shown: its name, unit and digits, and what the plant's group wants of it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final

from diagnose.frozen import frozen
from diagnose.intake.records.physics import vapour_pressure_deficit_kpa
from diagnose.model.history import DayRange, Quantity
from diagnose.model.knowledge import Group

__all__ = ["LOOKS", "Look", "Wanted", "wanted"]

_Pick = Callable[[DayRange], float]


@frozen
class Look:
    """``per_unit`` is how much of the logged unit makes one shown unit. A day is too low by its ``low_side``, too high
    by its ``high_side``; the words say which these are. ``floor`` and ``ceiling`` bound the scale of a
    picture; ``remark`` explains the unit."""

    name: str
    unit: str
    digits: int
    low_side: _Pick
    low_words: str
    high_side: _Pick
    high_words: str
    per_unit: float = 1.0
    floor: float | None = None
    ceiling: float | None = None
    remark: str = ""

    def figure(self, value: float) -> str:
        """A value without its unit."""
        return f"{value / self.per_unit:.{self.digits}f}"

    def told(self, value: float) -> str:
        """A value with its unit."""
        return f"{self.figure(value)} {self.unit}"


def _low(day: DayRange) -> float:
    return day.low


def _mean(day: DayRange) -> float:
    return day.mean


def _high(day: DayRange) -> float:
    return day.high


LOOKS: Final[Mapping[Quantity, Look]] = {
    "temperature": Look("Temperature", "°C", 1, _low, "the day's lowest", _high, "the day's highest"),
    "humidity": Look("Humidity", "%", 0, _mean, "the day's mean", _mean, "the day's mean", floor=0, ceiling=100),
    "deficit": Look("Vapour pressure deficit", "kPa", 2, _mean, "the day's mean", _mean, "the day's mean", floor=0),
    "light": Look("Light", "klx", 1, _high, "the day's brightest", _high, "the day's brightest",
                  per_unit=1000.0, floor=0, remark="1 klx is 1,000 lux."),
}


@frozen
class Wanted:
    """What a group wants of a quantity, None for an open end, in the logged unit; ``how`` says how it was worked out.

    ``harm_low`` and ``harm_high`` are where harm begins, where that is known.
    """

    low: float | None
    high: float | None
    how: str = ""
    harm_low: float | None = None
    harm_high: float | None = None


def wanted(group: Group | None, quantity: Quantity) -> Wanted | None:
    """What a group wants; None where nothing is known.

    The deficit wanted is that of air as humid as wanted, midway between the wanted night and day.
    """
    if group is None:
        return None
    needs = {name: need.value for name, need in group.needs.items()}
    match quantity:
        case "temperature":
            found = Wanted(needs.get("night_low_c"), needs.get("day_high_c"), harm_low=needs.get("chill_c"),
                           harm_high=needs.get("heat_c"))
        case "humidity":
            found = Wanted(needs.get("humidity_low_pct"), needs.get("humidity_high_pct"))
        case "light":
            found = Wanted(needs.get("light_low_lux"), needs.get("light_high_lux"))
        case "deficit":
            return _deficit(needs)
    return found if found.low is not None or found.high is not None else None


def _deficit(needs: Mapping[str, float]) -> Wanted | None:
    if not {"night_low_c", "day_high_c", "humidity_low_pct", "humidity_high_pct"} <= needs.keys():
        return None
    middle_c = (needs["night_low_c"] + needs["day_high_c"]) / 2
    low = vapour_pressure_deficit_kpa(middle_c, needs["humidity_high_pct"])
    high = vapour_pressure_deficit_kpa(middle_c, needs["humidity_low_pct"])
    return Wanted(low, high, f"the wanted humidity at {middle_c:.1f} °C")
