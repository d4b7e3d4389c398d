"""The table of days: one that holds what is asked for is not worked out again."""

from __future__ import annotations

from pathlib import Path

import pytest

from diagnose.intake.records.climate import Climate
from diagnose.intake.records.days import DayTable, day_table
from diagnose.intake.records.window import Window, day_number
from tests.intake.records.folders import DATE, export, log, log_rows

TODAY = day_number(DATE)
WHOLE = Window(TODAY - 20, TODAY)
NEEDS = {"night_low_c": 15.0, "day_high_c": 18.0}


def of_hour(hour: float) -> tuple[float, float, float]:
    """Warm, dry and bright by day, a little otherwise each day."""
    day = 8 <= hour % 24 < 20
    return (20.0 + hour % 7, 50.0, 9000.0 + hour) if day else (12.0, 80.0 - hour % 5, 0.0)


@pytest.fixture
def climate(tmp_path: Path) -> Climate:
    """Three weeks and more of readings."""
    return export(log(log_rows(30, 30, of=of_hour)), tmp_path)


def test_a_table_that_holds_all_is_used_again(climate: Climate) -> None:
    """A part of its days, of its quantities or of its needs is asked for: the same table; else another."""
    table = day_table(climate, WHOLE, {"temperature", "humidity", "deficit"}, NEEDS)
    part = Window(WHOLE.first + 3, WHOLE.last - 1)
    assert day_table(climate, WHOLE, {"temperature", "humidity", "deficit"}, NEEDS) is table
    assert day_table(climate, part, {"deficit"}, {}) is table
    assert day_table(climate, part, {"temperature"}, {"night_low_c": 15.0, "water_gap_days": 7.0}) is table
    assert day_table(climate, Window(WHOLE.first - 1, WHOLE.last), {"deficit"}, {}) is not table
    assert day_table(climate, part, {"light"}, {}) is not table
    assert day_table(climate, part, {"temperature"}, {"night_low_c": 14.0}) is not table
    assert day_table(climate, part, {"deficit"}, {}, with_extremes={"deficit"}) is not table


def test_another_climate_has_a_table_of_its_own(tmp_path: Path, climate: Climate) -> None:
    """Equal readings, read again, are worked out again."""
    again = export(log(log_rows(30, 30, of=of_hour)), tmp_path)
    assert day_table(climate, WHOLE, {"deficit"}, {}) is not day_table(again, WHOLE, {"deficit"}, {})


def test_a_day_is_the_same_in_a_longer_table(tmp_path: Path) -> None:
    """The sums, extremes and spans of a day do not depend on the window that it was asked for with."""
    names = ("temperature", "humidity", "deficit", "dew", "light", "photons")
    whole, part = (day_table(export(log(log_rows(30, 30, of=of_hour)), tmp_path), window, names, NEEDS)
                   for window in (WHOLE, Window(TODAY - 9, TODAY - 4)))
    for day in range(TODAY - 9, TODAY - 3):
        for name in names:
            assert figures(whole, name, day) == pytest.approx(figures(part, name, day), rel=1e-12)
    for day in range(TODAY - 8, TODAY - 3):  # the first day of a window has no day before it
        assert whole["temperature"].swing_24h[day] == part["temperature"].swing_24h[day]


def figures(table: DayTable, name: str, day: int) -> list[float]:
    """All figures of a quantity on a day."""
    sums, extremes = table[name].sums[day], table[name].extremes.get(day)
    return [sums.seconds, sums.area, *sums.more.values(), *((extremes.low, extremes.high) if extremes else ())]
