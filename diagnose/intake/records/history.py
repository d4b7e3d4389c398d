"""The records of a plant day by day, for pictures of the last half year."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Final

from diagnose.intake.records.care import CareRow
from diagnose.intake.records.doses import doses_in
from diagnose.intake.records.folder import Records
from diagnose.intake.records.measure import stage_period
from diagnose.intake.records.pot_water import DayWater, Pot
from diagnose.intake.records.terms import WETTING
from diagnose.intake.records.water_balance import WaterBalance, water_balance
from diagnose.intake.records.window import Window, date_of, day_number
from diagnose.model.history import (
    CareDeed,
    DayRange,
    History,
    Quantity,
    Series,
    StageSpan,
    WaterDay,
    WaterHistory,
)
from diagnose.model.water import GroupWater

if TYPE_CHECKING:
    from diagnose.intake.records.climate import Climate

__all__ = ["MOST_DAYS", "history_of"]

MOST_DAYS: Final = 182  # half a year in whole weeks: about as far as damage reaches back, and what a page can show
LEAST_DAYS: Final = 14
QUANTITIES: Final[tuple[Quantity, ...]] = ("temperature", "humidity", "deficit", "light")


def history_of(records: Records, *, gap_days: float | None = None, water: GroupWater | None = None,
               onset_days_ago: int | None = None) -> History:
    """The last half year up to the date, or as much of it as the records cover.

    ``gap_days``, the usual gap between waterings of the plant's group, and ``water``, the rules for its pot, are
    needed for the water balance. Stages are those up to the onset of the trouble, where it is told.
    """
    window = _shown(records)
    balance = water_balance(records, water, gap_days) if water is not None and gap_days is not None else None
    stages = _stages(records, window.last - (onset_days_ago or 0))
    care = tuple(_deed(row) for row in records.care if day_number(row.date) >= window.first)
    return History(records.plant.plant, date_of(window.first), records.date, _series(records.climate, window), care,
                   _water(balance, window) if balance else None, stages)


def _shown(records: Records) -> Window:
    """The days shown: they begin with the first logged one, if it is no longer ago than the most shown."""
    last = day_number(records.date)
    began = [day_number(records.care[0].date)] if records.care else []
    began += [int(records.climate.rows["t"][0]) // 86_400] if records.climate is not None else []
    first = min(began, default=last)
    return Window(max(last - MOST_DAYS + 1, min(first, last - LEAST_DAYS + 1)), last)


def _series(climate: Climate | None, window: Window) -> tuple[Series, ...]:
    """Each quantity over the days known for most of their hours, as every measure of lows and highs takes them."""
    if climate is None:
        return ()
    from diagnose.intake.records.climate_measures import WHOLE_DAY_S  # both load polars
    from diagnose.intake.records.days import day_table

    table = day_table(climate, window, QUANTITIES, {}, with_extremes=QUANTITIES)
    found = []
    for quantity in QUANTITIES:
        sums, extremes = table[quantity].sums, table[quantity].extremes
        known = [day for day in range(window.first, window.last + 1)
                 if day in sums and day in extremes and sums[day].seconds >= WHOLE_DAY_S]
        days = tuple(DayRange(date_of(day), extremes[day].low, sums[day].area / sums[day].seconds, extremes[day].high)
                     for day in known)
        found += [Series(quantity, days)] if days else []
    return tuple(found)


def _deed(row: CareRow) -> CareDeed:
    """A row with the amount of its own cells; amounts of the detail stand in the detail."""
    own = row.doses[:len(row.doses) - len(doses_in(row.detail))] if row.action in WETTING else row.doses
    amount = f"{own[0].amount:g} {own[0].unit}" if own else ""
    return CareDeed(row.date, row.action, amount, row.detail)


def _stages(records: Records, last: int) -> tuple[StageSpan, ...]:
    """The last span of each stage that the bench or the log names, in the order in which they began."""
    named = dict.fromkeys([records.plant.stage, *(row.detail for row in records.care if row.action == "stage")])
    found = [(stage, stage_period(records, stage, last)) for stage in named if stage]
    spans = [StageSpan(stage, date_of(period[0].first), date_of(period[0].last), period[1])
             for stage, period in found if period]
    return tuple(sorted(spans, key=lambda span: span.first))


def _water(balance: WaterBalance, window: Window) -> WaterHistory | None:
    known = balance.known(window)
    if not known:
        return None
    pot = balance.pot
    days = tuple(_water_day(date_of(day), pot, balance.days[day], balance.slow[day], balance.fast[day])
                 for day in known)
    return WaterHistory(pot.usable_ml, pot.reservoir_ml, 1.0 - pot.may_use_share, balance.rate.learned, days)


def _water_day(day: dt.date, pot: Pot, best: DayWater, slow: DayWater, fast: DayWater) -> WaterDay:
    shares = [1.0 - state.used_ml / pot.usable_ml for state in (best, slow, fast)]
    reservoir = best.reservoir_ml / pot.reservoir_ml if pot.reservoir_ml else None
    return WaterDay(day, min(shares), shares[0], max(shares), reservoir)
