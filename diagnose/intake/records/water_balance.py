"""The water balance of one plant's pot: days on which it was dry or never drained, and when to water or refill next.

Everything is reckoned from the first logged watering on; before it, and where the log is partial, nothing is known.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Final

from diagnose.frozen import frozen
from diagnose.intake.records.drying import Drying, drying_of
from diagnose.intake.records.folder import Records
from diagnose.intake.records.pot_water import DayWater, Pot, pot_of, pot_water
from diagnose.intake.records.water_log import WaterLog, water_log
from diagnose.intake.records.water_rate import Rate, learned_rate, usual_rate
from diagnose.intake.records.window import Reading, Window, day_number
from diagnose.model.water import GroupWater, LossRules

__all__ = ["WATER_MEASURES", "WaterBalance", "WaterMeasure", "water_balance"]

LONGEST_DAYS: Final = 400  # a log further back tells nothing of the pot of today
MOST_DAYS: Final = 90.0  # beyond it "runs dry" means nothing


@frozen
class WaterBalance:
    """``days`` holds how each day ended; ``daily_ml`` is what is lost a day at present, with its lower and upper bound.

    ``slow`` and ``fast`` are the days as they would have been at the bounds of the rate. ``notes`` say what the rate
    was learned from and what had to be taken on trust.
    """

    pot: Pot
    rate: Rate
    loss: LossRules
    days: Mapping[int, DayWater]
    slow: Mapping[int, DayWater]
    fast: Mapping[int, DayWater]
    drying: Drying
    daily_ml: tuple[float, float, float]
    again_days: tuple[float, float]
    notes: tuple[str, ...]

    @property
    def certainty(self) -> float:
        """How sure measures of it are, in (0, 1]."""
        return self.loss.sure_if_learned if self.rate.learned else self.loss.sure_if_usual

    def known(self, window: Window) -> list[int]:
        """Days of a window of which both the water given and the drying are known."""
        return [day for day in range(window.first, window.last + 1) if day in self.days and day in self.drying.known]


def water_balance(records: Records, water: GroupWater, gap_days: float) -> WaterBalance | None:
    """The balance up to the date. None where the medium is not known.

    ``gap_days`` is the longest usual gap of the plant's group in the usual medium and moderate air.
    """
    rules, plant, today = water.rules, records.plant, day_number(records.date)
    pot = pot_of(plant.medium, plant.pot_ml, plant.reservoir_ml, water)
    usual_pot = pot_of(rules.usual_medium, None, 0, water)
    if pot is None or usual_pot is None:
        return None
    first = max(today - LONGEST_DAYS, day_number(records.care[0].date) if records.care else today)
    drying = drying_of(records.climate, Window(first - 1, today), rules.loss)
    wants = _stage_shares(records, rules.stage_share, first, today)

    def dries(day: int) -> float:
        return drying.on(day) * wants[min(max(day, first), today)]

    log = water_log([] if plant.partial_log else [row for row in records.care if day_number(row.date) >= first],
                    pot, lambda start, end: sum(map(dries, range(start, end))))
    usual = usual_rate(usual_pot, plant.pot_ml or rules.loss.usual_pot_ml, gap_days, rules.loss)
    rate = learned_rate(usual, log.filled, log.weighed, pot, rules.loss)
    if log.poured:
        rate = Rate(rate.ml_per_kpa, math.hypot(rate.spread, rules.loss.poured_spread), rate.fills, rate.weighings)
    low, high = rate.within(rules.loss.stated_spreads)
    days, slow, fast = (pot_water(pot, log.wettings, _losing(each, dries), today)
                        for each in (rate.ml_per_kpa, low, high))
    now = _recent(drying, today, rules.loss) * wants[today]
    return WaterBalance(pot, rate, rules.loss, days, slow, fast, drying, _daily(rate, now, rules.loss),
                        _again(pot, rate, now, rules.loss), _notes(records, pot, rate, log, drying, now, rules.loss))


def _losing(ml_per_kpa: float, dries: Callable[[int], float]) -> Callable[[int], float]:
    return lambda day: ml_per_kpa * dries(day)


def _stage_shares(records: Records, shares: Mapping[str, float], first: int, last: int) -> Mapping[int, float]:
    """The share of its usual loss that the plant shows on each day, by its stage."""
    turns = [(day_number(row.date), row.detail) for row in records.care if row.action == "stage"]
    found: dict[int, float] = {}
    stage = records.plant.stage
    for day in range(first, last + 1):
        stage = next((name for turn, name in reversed(turns) if turn <= day), records.plant.stage)
        found[day] = shares.get(stage, 1.0)
    return found


def _recent(drying: Drying, today: int, loss: LossRules) -> float:
    days = range(today - int(loss.recent_days) + 1, today + 1)
    return sum(map(drying.on, days)) / len(days)


def _daily(rate: Rate, now_kpa: float, loss: LossRules) -> tuple[float, float, float]:
    low, high = rate.within(loss.stated_spreads)
    return rate.ml_per_kpa * now_kpa, low * now_kpa, high * now_kpa


def _again(pot: Pot, rate: Rate, now_kpa: float, loss: LossRules) -> tuple[float, float]:
    """Whole days from full until water is due, from the least to the most they may be.

    What a medium holds is uncertain too; the usual rate already is one of days, whatever the pot holds.
    """
    holds = 0.0 if pot.reservoir_ml or not rate.learned else loss.capacity_spread
    stretch = math.exp(loss.stated_spreads * math.hypot(rate.spread, holds))
    usual = pot.bridge_ml / (rate.ml_per_kpa * max(now_kpa, 0.01))
    low = max(1.0, round(usual / stretch))
    return low, max(low, float(round(usual * stretch)))


def _notes(records: Records, pot: Pot, rate: Rate, log: WaterLog, drying: Drying, now_kpa: float, loss: LossRules
           ) -> tuple[str, ...]:
    best, low, high = _daily(rate, now_kpa, loss)
    found = f"water balance: the pot loses about {best:.0f} ml a day now ({low:.0f} to {high:.0f})"
    seen = [f"{rate.fills} amounts"] * bool(rate.fills) + [f"{rate.weighings} weighings"] * bool(rate.weighings)
    notes = [f"{found}, learned from {' and '.join(seen)}" if seen else
             f"{found}; no amount or weight in the log tells its rate, so that usual for group and pot was taken"]
    if log.poured:
        notes.append("water balance: what ran out of the pot is not known; if much did, it loses less")
    if records.plant.pot_ml is None:
        notes.append(f"water balance: the size of the pot is not given; {loss.usual_pot_ml:g} ml was taken")
    if records.climate is None or not drying.known:
        notes.append("water balance: no drying power of the air is logged; moderate air was taken")
    over = sum(kpa > loss.straight_to_kpa for kpa in drying.known.values())
    if over:
        notes.append(f"water balance: on {over} days the air was drier than {loss.straight_to_kpa:g} kPa, "
                     "where plants close up and the loss may have been less")
    return tuple(notes)


@frozen
class WaterMeasure:
    """A measure of the balance with its unit and function."""

    unit: str
    find: Callable[[WaterBalance, Window], Reading | None]


def _days_where(holds: Callable[[WaterBalance, DayWater], bool]) -> Callable[[WaterBalance, Window], Reading | None]:
    """Counts days; where the rate is only the usual one, those that count whatever it is within its bounds.

    None where one bound gives days and the other none: then nothing can be told.
    """
    def find(balance: WaterBalance, window: Window) -> Reading | None:
        known = balance.known(window)
        best, slow, fast = (sum(holds(balance, days[day]) for day in known)
                            for days in (balance.days, balance.slow, balance.fast))
        least, most = (best, best) if balance.rate.learned else (min(slow, fast), max(slow, fast))
        if not known or (most and not least):
            return None
        guess = "at the least, for the rate of loss is not known" if least != most else ""
        return Reading(float(least), len(known) / window.length, guess, balance.certainty)
    return find


def _is_dry(balance: WaterBalance, day: DayWater) -> bool:
    """Whether water was due all day: a pot that dries by evening and is watered in the morning is not short of it."""
    return day.morning_used_ml > balance.pot.usable_ml * balance.pot.may_use_share and not day.reservoir_ml


def _is_wet(balance: WaterBalance, day: DayWater) -> bool:
    return day.used_ml <= balance.pot.usable_ml * balance.loss.still_wet_share


def _reservoir_dry_in(balance: WaterBalance, window: Window) -> Reading | None:
    state = balance.days.get(window.last)
    if state is None or not balance.pot.reservoir_ml:
        return None
    best, low, high = (min(state.reservoir_ml / max(ml, 0.01), MOST_DAYS) for ml in balance.daily_ml)
    return Reading(best, 1.0, f"between {high:.0f} and {low:.0f} days", balance.certainty)


def _again_low(balance: WaterBalance, window: Window) -> Reading | None:
    return Reading(balance.again_days[0], certainty=balance.certainty)


def _again_high(balance: WaterBalance, window: Window) -> Reading | None:
    return Reading(balance.again_days[1], certainty=balance.certainty)


WATER_MEASURES: Final[Mapping[str, WaterMeasure]] = {
    "days_root_zone_dry": WaterMeasure("days", _days_where(_is_dry)),
    "days_never_drained": WaterMeasure("days", _days_where(_is_wet)),
    "reservoir_dry_in_days": WaterMeasure("days", _reservoir_dry_in),
    "water_again_days_low": WaterMeasure("days", _again_low),
    "water_again_days_high": WaterMeasure("days", _again_high),
}
