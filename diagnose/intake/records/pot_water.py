"""The water in a pot day by day: one bucket for the root zone, in the manner of FAO-56, over one for the reservoir.

Source: Crop evapotranspiration (FAO Irrigation and Drainage Paper 56), chapter 8: total available water (equation 82),
stress coefficient (84) and the daily balance of depletion (85 to 88). What is irrigation there is watering here; rain,
capillary rise and run-off have no place indoors, save that a reservoir keeps the root zone above it full.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace

from diagnose.frozen import frozen
from diagnose.model.water import GroupWater

__all__ = ["DayWater", "Pot", "Wetting", "pot_of", "pot_water"]


@frozen
class Pot:
    """``usable_ml`` is what roots can draw on in a drained root zone; of it ``may_use_share`` may go.

    ``reservoir_ml`` is 0 where there is none.
    """

    usable_ml: float
    reservoir_ml: float
    may_use_share: float

    @property
    def bridge_ml(self) -> float:
        """What may be lost from full until water is due: the reservoir, or the share of the root zone that may go."""
        return self.reservoir_ml or self.usable_ml * self.may_use_share

    def loss_share(self, used_ml: float) -> float:
        """The share of its usual loss that a root zone still shows (Ks of FAO-56, equation 84), 0 to 1."""
        easy = self.usable_ml * self.may_use_share
        return min(1.0, max(0.0, (self.usable_ml - used_ml) / (self.usable_ml - easy)))


@frozen
class Wetting:
    """Water given on a day: ``ml`` is how much where that is known; None means until the pot was full."""

    day: int
    ml: float | None = None
    into_reservoir: bool = False


@frozen
class DayWater:
    """How a day ended: millilitres gone from the root zone since it was full, and left in the reservoir.

    ``morning_used_ml`` is what was gone when the day began, once it had been watered.
    """

    used_ml: float
    reservoir_ml: float
    morning_used_ml: float = 0.0


def pot_of(medium: str, pot_ml: float | None, reservoir_ml: float | None, water: GroupWater) -> Pot | None:
    """The pot of a plant; a pot of unknown size is taken as the usual one. None for an unknown medium."""
    kind = water.rules.media.get(medium)
    if kind is None:
        return None
    volume = pot_ml or water.rules.loss.usual_pot_ml
    return Pot(kind.usable_share * volume, reservoir_ml or 0.0, water.may_use_share)


def pot_water(
    pot: Pot, wettings: Iterable[Wetting], loss_ml: Callable[[int], float], last: int
) -> Mapping[int, DayWater]:
    """The water at the end of each day from the first wetting to ``last``.

    Water is given in the morning. ``loss_ml`` is what a day takes from a pot that has enough.
    """
    given: dict[int, list[Wetting]] = {}
    for wetting in wettings:
        given.setdefault(wetting.day, []).append(wetting)
    if not given:
        return {}
    found: dict[int, DayWater] = {}
    state = DayWater(0.0, pot.reservoir_ml)
    for day in range(min(given), last + 1):
        for wetting in given.get(day, ()):
            state = _wetted(pot, state, wetting)
        dried = _dried(pot, state, loss_ml(day))
        found[day] = state = replace(dried, morning_used_ml=state.used_ml)
    return found


def _wetted(pot: Pot, state: DayWater, wetting: Wetting) -> DayWater:
    """Water from above fills the root zone first and what is left runs into the reservoir; a refill goes there."""
    if wetting.ml is None:
        return DayWater(0.0, pot.reservoir_ml)
    taken = 0.0 if wetting.into_reservoir and pot.reservoir_ml else min(wetting.ml, state.used_ml)
    reservoir = min(pot.reservoir_ml, state.reservoir_ml + wetting.ml - taken)
    return _risen(DayWater(state.used_ml - taken, reservoir))


def _dried(pot: Pot, state: DayWater, loss_ml: float) -> DayWater:
    from_reservoir = min(loss_ml, state.reservoir_ml)
    rest = (loss_ml - from_reservoir) * pot.loss_share(state.used_ml)
    used = min(pot.usable_ml, state.used_ml + rest)
    return _risen(DayWater(used, state.reservoir_ml - from_reservoir))


def _risen(state: DayWater) -> DayWater:
    """A root zone over a reservoir draws itself full from it."""
    rises = min(state.used_ml, state.reservoir_ml)
    return DayWater(state.used_ml - rises, state.reservoir_ml - rises)
