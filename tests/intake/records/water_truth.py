"""Invented pots whose loss is known: sixty days of weather, a true rate, and what an imprecise grower would log."""

from __future__ import annotations

import datetime as dt
import random
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from diagnose.intake.records import read_records
from diagnose.intake.records.folder import Records
from diagnose.intake.records.physics import vapour_pressure_deficit_kpa
from diagnose.knowledge.folder import load
from diagnose.knowledge.store import default_folder
from diagnose.model.water import GroupWater, WaterRules
from tests.intake.records.folders import DATE, log, log_rows, write_folder

DAYS = 60
GAP_DAYS = 7.0
POT = "{pot_ml: 900, reservoir_ml: %d}"
BENCH = """\
places:
  east-window: {hemisphere: north, latitude: 47.4, indoors: true}
plants:
  P-07:
    group: phalaenopsis
    place: east-window
    medium: %s
    container: %s
"""


def water_rules() -> WaterRules:
    """The water rules of the project's rule base."""
    rules = load(default_folder()).water
    assert rules is not None
    return rules


def group_water(dry_out: str = "between") -> GroupWater:
    """The rules for a group that lets its pots dry so far."""
    return water_rules().for_group(dry_out)


@dataclass(frozen=True)
class Truth:
    """A pot: what it really loses a day for each kPa, and how its grower fills and notes it."""

    ml_per_kpa: float
    reservoir_ml: int = 300
    medium: str = "inert"
    amount_noise: float = 0.2
    level_noise: float = 0.15


class Weather:
    """Sixty days of a room: each day its own warmth and humidity, the same all day."""

    def __init__(self, chance: random.Random) -> None:
        self.days = [(chance.uniform(17, 24), chance.uniform(45, 72)) for _ in range(DAYS)]

    def kpa(self, day: int) -> float:
        """The drying power of a day, the mean over its hours."""
        return vapour_pressure_deficit_kpa(*self.days[day])

    def lines(self) -> list[str]:
        """The log of the weather."""
        return log_rows(DAYS, 60, of=lambda hour: (*self.days[int(hour // 24)], 0.0))


def day(number: int) -> dt.date:
    """The date of a day, the last of which is the date of the tests."""
    return DATE - dt.timedelta(days=DAYS - 1 - number)


def write_pot(folder: Path, truth: Truth, care: list[str], weather: Weather) -> Records:
    """The records of a pot with its log."""
    bench = BENCH % (truth.medium, POT % truth.reservoir_ml)
    write_folder(folder, bench=bench, care="".join(f"{line}\n" for line in care), east_window=log(weather.lines()))
    return read_records(folder, plant="P-07", date=DATE)


def refills(truth: Truth, weather: Weather, chance: random.Random) -> Iterator[str]:
    """Refills every four to six days to a line that is never the same, the amounts noted with noise."""
    missing, turn = 0.0, chance.randint(4, 6)
    yield f"{day(0)},P-07,refill,,,"
    for number in range(1, DAYS):
        missing += truth.ml_per_kpa * weather.kpa(number - 1)
        turn -= 1
        if not turn:
            left = abs(chance.gauss(0, truth.level_noise * truth.reservoir_ml))
            poured = max(5.0, missing - left)
            missing -= poured
            noted = poured * max(0.1, chance.gauss(1, truth.amount_noise))
            yield f"{day(number)},P-07,refill,{noted:.0f},ml,"
            turn = chance.randint(4, 6)


def weighings(truth: Truth, weather: Weather, chance: random.Random, error_g: float = 4.0) -> Iterator[str]:
    """Plain waterings each week, the pot weighed the day after each and the day before the next."""
    lost = 0.0
    for number in range(DAYS):
        if number % 7 == 0:
            yield f"{day(number)},P-07,water,,,"
            lost = abs(chance.gauss(0, 10))
        elif number % 7 in (1, 6):
            yield f"{day(number)},P-07,weigh,{1100 - lost + chance.gauss(0, error_g):.0f},g,"
        lost += truth.ml_per_kpa * weather.kpa(number)


