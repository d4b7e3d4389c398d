"""The records day by day: ranges, gaps, care in words, water, stages, and how far back they reach."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from diagnose.intake.records import read_records
from diagnose.intake.records.history import MOST_DAYS, history_of
from diagnose.intake.records.physics import vapour_pressure_deficit_kpa
from diagnose.model.history import CareDeed, History, StageSpan
from tests.intake.records.folders import BENCH, DATE, log, log_rows, write_folder
from tests.intake.records.water_truth import GAP_DAYS, group_water

STAGES = "2026-01-01,P-07,stage,,,resting\n2026-02-01,P-07,stage,,,growth_forming\n"


def history(folder: Path, *, care: str | None = None, rows: list[str] | None = None, **more: int) -> History:
    """The history of a folder with this care and these readings."""
    exports = {"east_window": log(rows)} if rows else {}
    write_folder(folder, bench=BENCH, care=care, **exports)
    return history_of(read_records(folder, plant="P-07", date=DATE), **more)


def two_levels(hour: float) -> tuple[float, float, float]:
    """12 C, 80 % and dark by night, 20 C, 50 % and 9,000 lux from 8 to 20 o'clock."""
    return (20.0, 50.0, 9000.0) if 8 <= hour % 24 < 20 else (12.0, 80.0, 0.0)


def test_a_day_has_its_lowest_mean_and_highest(tmp_path: Path) -> None:
    """Half a day at 12 C and half at 20 C: lowest 12, highest 20, mean 16, whatever the sampling rate."""
    found = history(tmp_path, rows=log_rows(20, 15, of=two_levels))
    series = {each.quantity: each for each in found.series}
    day = series["temperature"].days[5]
    assert (day.low, day.high) == (12.0, 20.0)
    assert day.mean == pytest.approx(16.0, abs=0.05)
    assert series["light"].days[5].high == 9000.0
    deficit = series["deficit"].days[5]
    assert deficit.low == pytest.approx(vapour_pressure_deficit_kpa(12.0, 80.0))
    assert deficit.high == pytest.approx(vapour_pressure_deficit_kpa(20.0, 50.0))


def test_days_hardly_known_are_left_out(tmp_path: Path) -> None:
    """A day with readings for less than three quarters of its hours shows neither its lowest nor its highest."""
    rows = log_rows(20, 60)
    gap = DATE - dt.timedelta(7)
    kept = [row for row in rows if not (row.startswith(f"{gap}") and int(row[11:13]) >= 10)]
    found = history(tmp_path, rows=kept)
    days = {day.day for day in found.series[0].days}
    assert gap not in days
    assert {gap - dt.timedelta(1), gap + dt.timedelta(2)} <= days


def test_it_reaches_half_a_year_back_at_most(tmp_path: Path) -> None:
    """Older readings and deeds are not shown; the last day is the date."""
    care = f"{DATE - dt.timedelta(300)},P-07,repot,,,\n{DATE - dt.timedelta(10)},P-07,water,,,\n"
    found = history(tmp_path, care=care, rows=log_rows(250, 240))
    assert (found.last, found.length) == (DATE, MOST_DAYS)
    assert [deed.action for deed in found.care] == ["water"]
    assert found.series[0].days[0].day >= found.first


def test_a_short_log_is_shown_for_two_weeks(tmp_path: Path) -> None:
    """Three days of readings stand in a picture of fourteen."""
    found = history(tmp_path, rows=log_rows(3, 60))
    assert found.length == 14
    assert len(found.series[0].days) == 3


def test_care_is_told_once(tmp_path: Path) -> None:
    """The amount of the cells is told; amounts of the detail stay there."""
    care = ("2026-02-01,P-07,feed,150,ppm N,20-20-20; pH 6.0\n2026-02-02,P-07,soak,,,20 min in rain water\n"
            "2026-02-03,P-07,weigh,820,g,\n2026-03-09,P-07,water,,,after the date\n")
    assert history(tmp_path, care=care).care == (
        CareDeed(dt.date(2026, 2, 1), "feed", "150 ppm N", "20-20-20; pH 6.0"),
        CareDeed(dt.date(2026, 2, 2), "soak", "", "20 min in rain water"),
        CareDeed(dt.date(2026, 2, 3), "weigh", "820 g"))


def test_stages_end_at_the_onset(tmp_path: Path) -> None:
    """A stage that lasts is shown up to the day since when the trouble is there."""
    spans = {span.stage: span for span in history(tmp_path, care=STAGES, onset_days_ago=10).stages}
    onset = DATE - dt.timedelta(10)
    assert spans["growth_forming"] == StageSpan("growth_forming", dt.date(2026, 2, 1), onset)
    assert spans["resting"] == StageSpan("resting", dt.date(2026, 1, 1), dt.date(2026, 1, 31))


def test_water_falls_after_a_watering(tmp_path: Path) -> None:
    """A pot that is watered and then forgotten holds less each day, and its bounds enclose the best estimate."""
    write_folder(tmp_path, bench=BENCH, care="2026-02-10,P-07,water,,,\n", east_window=log(log_rows(40, 60)))
    found = history_of(read_records(tmp_path, plant="P-07", date=DATE), gap_days=GAP_DAYS, water=group_water("between"))
    assert found.water is not None
    shares = [day.share for day in found.water.days]
    assert found.water.days[0].day == dt.date(2026, 2, 10)
    assert shares == sorted(shares, reverse=True)
    assert all(0 <= day.least_share <= day.share <= day.most_share <= 1 for day in found.water.days)
    assert found.water.days[0].reservoir_share is None


def test_nothing_logged_is_no_history_of_anything(tmp_path: Path) -> None:
    """A bench without readings and care gives days without anything on them."""
    found = history(tmp_path)
    assert (found.series, found.care, found.water) == ((), (), None)
