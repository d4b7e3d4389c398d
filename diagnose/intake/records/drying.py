"""How strongly each day dries a pot: the day's vapour pressure deficit, a little more where the day was bright."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import TYPE_CHECKING, Final

from diagnose.frozen import frozen
from diagnose.intake.records.window import Window
from diagnose.model.water import LossRules

if TYPE_CHECKING:
    from diagnose.intake.records.climate import Climate

__all__ = ["Drying", "drying_of"]

LEAST_SECONDS: Final = 43_200  # a day known for less than half is no measure of the whole
NEAR_DAYS: Final = 10  # an unknown day is taken to be like the known ones around it
BRIGHTEST: Final = 3.0  # a day this many times as bright as usual or more counts as such


@frozen
class Drying:
    """Drying power of the air, kPa, by day number. ``usual_kpa`` stands in where nothing near is known."""

    known: Mapping[int, float]
    usual_kpa: float

    def on(self, day: int) -> float:
        """That of a day; for an unknown one the mean of the known days within ten days, else of all, else the usual."""
        if day in self.known:
            return self.known[day]
        near = [self.known[each] for each in range(day - NEAR_DAYS, day + NEAR_DAYS + 1) if each in self.known]
        found = near or list(self.known.values())
        return sum(found) / len(found) if found else self.usual_kpa


def drying_of(climate: Climate | None, window: Window, loss: LossRules) -> Drying:
    """The drying power of each day of a window, from the climate where the plant stood."""
    known = dict(_days(climate, window.first, window.last, loss.light_share)) if climate else {}
    return Drying(known, loss.moderate_kpa)


@lru_cache(maxsize=64)  # plants of one place share their climate
def _days(climate: Climate, first: int, last: int, light_share: float) -> tuple[tuple[int, float], ...]:
    from diagnose.intake.records.days import day_table  # loads polars, which only climate exports need

    table = day_table(climate, Window(first, last), {"deficit", "photons"}, {})
    bright = {day: sums.area for day, sums in table["photons"].sums.items()
              if first <= day <= last and sums.seconds >= LEAST_SECONDS}
    usual = sum(bright.values()) / len(bright) if bright else 0.0
    found = []
    for day, sums in sorted(table["deficit"].sums.items()):
        if first <= day <= last and sums.seconds >= LEAST_SECONDS:
            times = min(bright[day] / usual, BRIGHTEST) if usual > 0 and day in bright else 1.0
            found.append((day, max(0.0, sums.area / sums.seconds) * (1 + light_share * (times - 1))))
    return tuple(found)
