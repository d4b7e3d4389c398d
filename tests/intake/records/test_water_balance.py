"""The water measures of a records folder: dry days, days never drained, the reservoir, and when to water again."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from diagnose.intake.records import measure_case, read_records
from diagnose.intake.records.water_balance import WATER_MEASURES, water_balance
from diagnose.intake.records.water_log import water_log
from diagnose.model.facts import Measure, MeasureRequest
from tests.intake.records.folders import DATE, log, log_rows, write_folder
from tests.intake.records.water_truth import BENCH, GAP_DAYS, POT, group_water

STEADY = log_rows(70, 60, of=lambda _: (20.0, 65.0, 0.0))  # 0.82 kPa
NEEDS = {"water_gap_days": GAP_DAYS}
REQUESTS = [MeasureRequest(name, 30 if name.startswith("days") else 0) for name in WATER_MEASURES]


def days_ago(days: int) -> dt.date:
    """A day before the date."""
    return DATE - dt.timedelta(days=days)


def every(days: int, action: str = "water", dose: str = ",", first: int = 60) -> str:
    """Rows of one action every so many days."""
    return "".join(f"{days_ago(ago)},P-07,{action},{dose},\n" for ago in range(first, -1, -days))


def found(folder: Path, care: str, *, medium: str = "bark", reservoir_ml: int = 0, dry_out: str = "between",
          weather: list[str] = STEADY, bench: str = "") -> tuple[dict[str, Measure], tuple[str, ...]]:
    """The water measures of a folder by id, and its notes."""
    write_folder(folder, bench=bench or BENCH % (medium, POT % reservoir_ml), care=care, east_window=log(weather))
    records = read_records(folder, plant="P-07", date=DATE)
    measures, _, notes = measure_case(records, REQUESTS, NEEDS, water=group_water(dry_out))
    return {each.measure: each for each in measures}, notes


def test_watered_in_time_is_neither_dry_nor_wet(tmp_path: Path) -> None:
    """A bark pot watered at half its group's gap is never dry at any likely rate, and not wet for most of the time."""
    measures, _ = found(tmp_path, every(3))
    assert measures["days_root_zone_dry"].value == 0
    assert measures["days_never_drained"].value < 15


def test_forgotten_pot_is_dry(tmp_path: Path) -> None:
    """Six weeks without water: the last weeks were dry whatever the rate."""
    measures, _ = found(tmp_path, f"{days_ago(42)},P-07,water,,,\n")
    assert measures["days_root_zone_dry"].value == 30
    assert measures["days_never_drained"].value == 0


def test_daily_watering_never_drains(tmp_path: Path) -> None:
    """Water each day keeps a pot of moss near full all the time."""
    measures, _ = found(tmp_path, every(1), medium="sphagnum")
    assert measures["days_never_drained"].value == 30


def test_waterings_without_amounts_teach_nothing(tmp_path: Path) -> None:
    """Without amounts or weights the usual rate stands, the note says so, and the measures are half sure."""
    measures, notes = found(tmp_path, every(6))
    assert any("that usual for group and pot was taken" in note for note in notes)
    assert measures["water_again_days_low"].certainty == 0.5
    assert measures["water_again_days_low"].value < GAP_DAYS < measures["water_again_days_high"].value


def test_what_cannot_be_told_is_not_given(tmp_path: Path) -> None:
    """Dry at the upper bound of the usual rate and moist at the lower: no number of dry days is given."""
    measures, _ = found(tmp_path, every(9))
    assert "days_root_zone_dry" not in measures


def test_amounts_teach_and_are_said(tmp_path: Path) -> None:
    """Refills of 150 ml every five days: about 30 ml a day, told with their number, and nearly sure."""
    measures, notes = found(tmp_path, every(5, "refill", "150,ml"), medium="inert", reservoir_ml=300)
    assert any("about 30 ml a day" in note and "learned from 12 amounts" in note for note in notes)
    assert measures["water_again_days_low"].value <= 10 <= measures["water_again_days_high"].value
    assert measures["water_again_days_low"].certainty == 0.95


def test_reservoir_runs_dry(tmp_path: Path) -> None:
    """Filled on the morning of six days ago, 300 ml at 30 ml a day: three days are left after the seventh."""
    care = every(5, "refill", "150,ml", first=61).rsplit("\n", 2)[0] + "\n"
    measures, _ = found(tmp_path, care, medium="inert", reservoir_ml=300)
    dry = measures["reservoir_dry_in_days"]
    assert dry.value == pytest.approx(3, abs=0.3)
    assert dry.guess.startswith("between")


def test_dry_reservoir_is_nought(tmp_path: Path) -> None:
    """A reservoir not filled for weeks is dry already, and so are the roots above it."""
    care = every(5, "refill", "150,ml").splitlines()[:7]
    measures, _ = found(tmp_path, "\n".join(care) + "\n", medium="inert", reservoir_ml=300)
    assert measures["reservoir_dry_in_days"].value == 0
    assert measures["days_root_zone_dry"].value > 10


def test_dry_air_shortens_the_interval(tmp_path: Path) -> None:
    """In air twice as dry water is due in half the time."""
    usual, _ = found(tmp_path / "usual", every(6))
    dry_weather = log_rows(70, 60, of=lambda _: (20.0, 30.0, 0.0))
    dry, _ = found(tmp_path / "dry", every(6), weather=dry_weather)
    assert dry["water_again_days_high"].value == pytest.approx(usual["water_again_days_high"].value / 2, abs=1)


def test_bright_days_dry_more(tmp_path: Path) -> None:
    """Where light is logged, the same air dries a pot faster in a bright fortnight."""
    dull = [line + "," for line in log_rows(70, 60, of=lambda _: (20.0, 65.0))]
    bright = log_rows(70, 60, of=lambda hour: (20.0, 65.0, 20000.0 if hour > 56 * 24 else 4000.0))
    plain, _ = found(tmp_path / "plain", every(6), weather=dull)
    lit, _ = found(tmp_path / "lit", every(6), weather=bright)
    assert lit["water_again_days_high"].value < plain["water_again_days_high"].value


def test_partial_log_knows_no_dry_days(tmp_path: Path) -> None:
    """Where not every watering is logged, nothing is said of dry or wet days, only when to water again."""
    bench = BENCH % ("bark", POT % 0) + "    log: partial\n"
    measures, _ = found(tmp_path, every(20), bench=bench)
    assert set(measures) == {"water_again_days_low", "water_again_days_high"}


def test_without_climate_days_are_unknown(tmp_path: Path) -> None:
    """Without a climate log no dry days are counted; the interval is that of moderate air, and the note says so."""
    write_folder(tmp_path, bench=BENCH % ("bark", POT % 0), care=every(6))
    records = read_records(tmp_path, plant="P-07", date=DATE)
    measures, _, notes = measure_case(records, REQUESTS, NEEDS, water=group_water())
    assert {each.measure for each in measures} == {"water_again_days_low", "water_again_days_high"}
    assert any("moderate air was taken" in note for note in notes)


def test_no_rules_no_balance(tmp_path: Path) -> None:
    """Without the rule base's word on media nothing is reckoned."""
    write_folder(tmp_path, bench=BENCH % ("bark", POT % 0), care=every(6), east_window=log(STEADY))
    records = read_records(tmp_path, plant="P-07", date=DATE)
    assert not [each for each in measure_case(records, REQUESTS, NEEDS)[0] if each.measure in WATER_MEASURES]


def test_a_resting_plant_uses_less(tmp_path: Path) -> None:
    """The same pot lasts longer while the plant rests."""
    awake, _ = found(tmp_path / "awake", every(6))
    asleep, _ = found(tmp_path / "asleep", every(6) + f"{days_ago(0)},P-07,stage,,,resting\n")
    assert asleep["water_again_days_high"].value > awake["water_again_days_high"].value


def test_second_wetting_of_a_day_belongs_to_the_first(tmp_path: Path) -> None:
    """Two refills on one day are one fill; a plain watering beside one leaves its amount unknown."""
    care = f"{days_ago(9)},P-07,refill,,,\n{days_ago(4)},P-07,refill,60,ml,\n{days_ago(4)},P-07,refill,40,ml,\n"
    write_folder(tmp_path, bench=BENCH % ("inert", POT % 300), care=care, east_window=log(STEADY))
    records = read_records(tmp_path, plant="P-07", date=DATE)
    balance = water_balance(records, group_water(), GAP_DAYS)
    assert balance is not None
    seen = water_log(records.care, balance.pot, lambda start, end: float(end - start))
    assert [(each.ml, each.drying_kpa) for each in seen.filled] == [(100, 5)]


def test_a_row_for_the_whole_bench_teaches_nothing(tmp_path: Path) -> None:
    """Two litres for every plant do not say how much this pot got."""
    _, notes = found(tmp_path, every(5, "water", "2,l").replace("P-07", "*"))
    assert any("that usual for group and pot was taken" in note for note in notes)
