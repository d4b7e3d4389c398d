"""Measures over windows: what is asked for is found, for the right days, or left unknown."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
import yaml

from diagnose.intake.records import measure_case, summary_measures
from diagnose.intake.records.care_measures import CARE_MEASURES
from diagnose.intake.records.climate_measures import CLIMATE_MEASURES
from diagnose.intake.records.measure import PHOTOPERIOD, SUMMARY
from diagnose.model.facts import MeasureRequest, Origin
from tests.intake.records.folders import BENCH, DATE, NEEDS, log, log_rows, measured, records, values, write_folder

KNOWN = Path(__file__).parents[3] / "knowledge" / "measures.yaml"


def steady(temperature: float, humidity: float) -> list[str]:
    """A log of forty days that ends on the date, of one temperature and humidity."""
    return log_rows(40, 30, of=lambda _: (temperature, humidity, 0.0))


def days_ago(days: int) -> dt.date:
    """A day before the date."""
    return DATE - dt.timedelta(days=days)


def test_units_and_ids_are_those_of_the_rule_base() -> None:
    """Every measure computed here is declared in the rule base with the same unit."""
    declared = {each["measure"]: each["unit"] for each in yaml.safe_load(KNOWN.read_text(encoding="utf-8"))["measures"]}
    units = {name: kind.unit for name, kind in (*CLIMATE_MEASURES.items(), *CARE_MEASURES.items())}
    assert units | {PHOTOPERIOD: "h"} == {name: declared[name] for name in (*units, PHOTOPERIOD)}


def test_steady_room(tmp_path: Path) -> None:
    """In a room of 20 C and 50 % every mean is that of each reading (deficit by FAO 56: 1.169 kPa)."""
    found = values(records(write_folder(tmp_path, east_window=log(steady(20, 50)))), *[
        (name, 30) for name in CLIMATE_MEASURES])
    assert found["vapour_pressure_deficit_mean"] == pytest.approx(1.169, abs=1e-3)
    assert found["dew_point_mean"] == pytest.approx(9.26, abs=0.03)
    assert (found["relative_humidity_mean"], found["temperature_mean"]) == pytest.approx((50, 20))
    assert (found["hours_below_need"], found["hours_above_need"], found["wet_hours"]) == pytest.approx((0, 0, 0))
    assert (found["largest_swing_24h"], found["day_night_difference"], found["nights_at_cue"]) == (0, 0, 0)


def test_deficit_is_mean_of_readings_not_of_means(tmp_path: Path) -> None:
    """Warm dry days and cold damp nights: the mean deficit is that of the readings, not of the mean air."""
    rows = log_rows(40, 30, of=lambda hour: (28.0, 30.0, 0.0) if 8 <= hour % 24 < 20 else (12.0, 90.0, 0.0))
    found = values(records(write_folder(tmp_path, east_window=log(rows))), ("vapour_pressure_deficit_mean", 30))
    warm, cold = 3.7818 * 0.7, 1.4027 * 0.1  # saturation of a handbook table at 28 and 12 C, kPa
    assert found["vapour_pressure_deficit_mean"] == pytest.approx((warm + cold) / 2, abs=0.01)


def test_hours_and_degree_hours_outside_the_need(tmp_path: Path) -> None:
    """Six hours a night at 10 C, wanted 15 C: six hours and thirty degree-hours a day."""
    rows = log_rows(40, 10, of=lambda hour: (10.0, 95.0, 0.0) if hour % 24 < 6 else (26.0, 60.0, 0.0))
    found = values(records(write_folder(tmp_path, east_window=log(rows))), *[
        (name, 20) for name in CLIMATE_MEASURES])
    assert found["hours_below_need"] == pytest.approx(6, abs=0.15)
    assert found["degree_hours_below_need"] == pytest.approx(30, abs=0.6)
    assert found["hours_above_need"] == pytest.approx(18, abs=0.2)
    assert found["degree_hours_above_need"] == pytest.approx(36, abs=0.6)
    assert found["wet_hours"] == pytest.approx(6, abs=0.15)
    assert found["nights_at_cue"] == 20
    assert (found["temperature_coldest"], found["temperature_hottest"], found["largest_swing_24h"]) == (10, 26, 16)


def test_need_that_the_group_lacks_gives_no_measure(tmp_path: Path) -> None:
    """Where the group has no flowering cue, nights at the cue are unknown, not none."""
    found = records(write_folder(tmp_path, east_window=log(steady(20, 50))))
    measures, _, _ = measure_case(found, [MeasureRequest("nights_at_cue", 30)], {"night_low_c": 15})
    assert measures == ()


def test_windows_end_at_the_onset_and_can_be_shifted(tmp_path: Path) -> None:
    """A window ends at the onset where it is told, else on the date, and a shift moves it back from there."""
    change = days_ago(14)
    cold = [line for line in steady(12, 50) if line[:10] <= str(change)]
    warm = [line for line in steady(22, 50) if line[:10] > str(change)]
    found = records(write_folder(tmp_path, east_window=log([*cold, *warm])))
    week = MeasureRequest("temperature_mean", 7)
    assert measured(found, week)[0].value == pytest.approx(22)
    assert measured(found, week, onset=15)[0].value == pytest.approx(12)
    assert measured(found, week, onset=7)[0].value == pytest.approx(22)
    shifted = measured(found, MeasureRequest("temperature_mean", 7, 15))[0]
    assert shifted.value == pytest.approx(12)
    assert (shifted.window_days, shifted.ended_days_ago, shifted.origin) == (7, 15, Origin.CLIMATE_LOG)


def test_the_day_itself_counts_and_the_next_does_not(tmp_path: Path) -> None:
    """Readings of the date are used, those of the next day are not."""
    rows = [line for line in steady(20, 50) if line[:10] < str(DATE)]
    rows += [line for line in steady(25, 50) if line[:10] == str(DATE)]
    rows += [f"{DATE + dt.timedelta(days=1)} 00:00:00,40,10,0"]
    found = values(records(write_folder(tmp_path, east_window=log(rows))), ("temperature_hottest", 7))
    assert found == {"temperature_hottest": 25}


def test_too_little_coverage_gives_no_measure_but_a_note(tmp_path: Path) -> None:
    """With ten days of log the thirty days are unknown, the seven are known, and a note says why."""
    found = records(write_folder(tmp_path, east_window=log(log_rows(10, 30))))
    asked = [MeasureRequest("temperature_mean", 7), MeasureRequest("temperature_mean", 30)]
    measures, _, notes = measure_case(found, asked, NEEDS)
    assert [each.window_days for each in measures] == [7]
    assert any("climate log covers only 33% of the 30 days" in note for note in notes)


def test_partly_known_window_says_so(tmp_path: Path) -> None:
    """A measure that rests on part of its window says on how much."""
    found = records(write_folder(tmp_path, east_window=log(log_rows(20, 30))))
    assert measured(found, ("temperature_mean", 30))[0].guess == "from 67% of the window"
    assert measured(found, ("temperature_mean", 7))[0].guess == ""


def test_summary_for_the_result(tmp_path: Path) -> None:
    """The eight measures of the result end on the date, whatever the onset."""
    measures, notes = summary_measures(records(write_folder(tmp_path, east_window=log(steady(20, 50)))))
    assert [(each.measure, each.window_days) for each in measures] == [
        (request.measure, request.window_days) for request in SUMMARY]
    assert notes == ()


def test_no_climate_no_climate_measures(tmp_path: Path) -> None:
    """Without an export nothing is known of the climate, and the note names the file that is missing."""
    found = records(write_folder(tmp_path))
    assert found.climate is None
    assert "there is no climate/east-window.csv" in found.notes
    assert values(found, *[(name, 30) for name in CLIMATE_MEASURES]) == {}
    assert summary_measures(found) == ((), ())


def test_length_of_day_needs_a_latitude_only(tmp_path: Path) -> None:
    """The length of the day comes from the latitude of the place and the mean day of the window."""
    found = records(write_folder(tmp_path / "a"), date=dt.date(2024, 6, 24))
    assert values(found, (PHOTOPERIOD, 7))[PHOTOPERIOD] == pytest.approx(15.99, abs=0.1)  # 47.4 N, June solstice
    bench = BENCH.replace(", latitude: 47.4", "")
    assert values(records(write_folder(tmp_path / "b", bench=bench)), (PHOTOPERIOD, 7)) == {}


def test_impossible_light_sum_is_left_out(tmp_path: Path) -> None:
    """A windowsill that gets more light than the open sky has a wrong unit: no light sum, but a note."""
    rows = log_rows(40, 30, of=lambda hour: (20.0, 50.0, 150000.0))
    found = records(write_folder(tmp_path, east_window=log(rows)))
    measures, _, notes = measure_case(found, [MeasureRequest("daily_light_integral", 7)], NEEDS)
    assert measures == ()
    assert any("is its unit right?" in note for note in notes)


@pytest.mark.parametrize(("header", "per_umol"), [
    ("PPFD (µmol/m2/s)", 1), ("light (fc)", 10.7639 / 54), ("lux", 1 / 54)])
def test_light_units(header: str, per_umol: float, tmp_path: Path) -> None:
    """PPFD, foot-candles and lux give the same light sum for the same light (factor of sunlight: LIT-02)."""
    light = 100 / per_umol
    rows = log_rows(40, 30, of=lambda hour: (20.0, 50.0, light if 6 <= hour % 24 < 18 else 0.0))
    text = log(rows, f"time,temp_c,rh,{header}")
    found = values(records(write_folder(tmp_path, east_window=text)), ("daily_light_integral", 7))
    assert found["daily_light_integral"] == pytest.approx(100 * 12 * 3600e-6, rel=0.01)


CARE = """\
{40},P-07,arrive,,,
{35},P-07,water,,,
{30},P-07,feed,150,ppm N,20-20-20
{28},P-07,flush,,,
{20},P-07,feed,1,g/l,20-20-20 with 5 % CaO and 2 % Mg; pH 6.0; 1.1 mS/cm
{20},P-07,soak,20,min,rain water 12 C
{10},P-07,feed,,,half strength
{4},*,water,300,ppm,by a meter of the 500 scale
"""


def care(text: str) -> str:
    """Care rows whose dates are given as days ago in braces."""
    for ago in range(400, -1, -1):
        text = text.replace(f"{{{ago}}}", str(days_ago(ago)))
    return text


def test_care_measures(tmp_path: Path) -> None:
    """Gaps, rates, strengths and times since, from a small care log."""
    bench = BENCH.replace("potted_on: 2025-03-10", "potted_on: 2025-09-01")
    found = values(records(write_folder(tmp_path, bench=bench, care=care(CARE))), *[
        (name, 36) for name in CARE_MEASURES])
    assert found == pytest.approx({
        "days_since_water": 4, "water_gap_longest": 10, "water_gap_mean": 31 / 5, "waterings_per_week": 6 / 36 * 7,
        "feed_strength_mean": 175, "feed_strength_highest": 200, "feeds_per_month": 3 / 36 * 30,
        "days_since_flush": 28, "days_since_feed": 10, "feeds_since_flush": 2, "salt_load_since_flush": 200,
        "months_since_potting": (DATE - dt.date(2025, 9, 1)).days / 30.4375, "water_temperature": 12,
        "feed_calcium_mean": 35.735, "feed_magnesium_mean": 20, "feed_potassium_mean": (150 + 200) / 2 * 0.83015,
        "feed_conductivity_highest": 1.1, "water_conductivity_mean": 0.6,
    })


def test_open_gap_counts_as_far_as_it_has_run(tmp_path: Path) -> None:
    """A plant not watered since the window began has a gap as long as the window."""
    found = records(write_folder(tmp_path, care=care("{90},P-07,water,,,\n")))
    assert values(found, ("water_gap_longest", 30), ("days_since_water", 30)) == {
        "water_gap_longest": 30, "days_since_water": 90}


def test_care_before_the_first_row_is_unknown(tmp_path: Path) -> None:
    """Measures that rest on what was not done need the log to reach back over half of the window."""
    found = records(write_folder(tmp_path, care=care("{20},P-07,water,,,\n{2},P-07,water,,,\n")))
    assert values(found, ("waterings_per_week", 30))["waterings_per_week"] == pytest.approx(2 / 21 * 7)
    measures, _, notes = measure_case(found, [MeasureRequest("waterings_per_week", 60)], NEEDS)
    assert measures == ()
    assert any("care log covers only 35% of the 60 days" in note for note in notes)


def test_partial_log_tells_nothing_of_what_was_not_done(tmp_path: Path) -> None:
    """In a partial log strengths are known, gaps, rates and times since are not."""
    bench = BENCH + "    log: partial\n"
    found = values(records(write_folder(tmp_path, bench=bench, care=care(CARE))), *[
        (name, 36) for name in CARE_MEASURES])
    assert set(found) == {
        "feed_strength_mean", "feed_strength_highest", "feed_calcium_mean", "feed_magnesium_mean",
        "feed_potassium_mean", "feed_conductivity_highest", "water_conductivity_mean", "months_since_potting",
        "water_temperature"}


def test_care_measures_as_of_the_onset(tmp_path: Path) -> None:
    """Care after the onset does not count in windows that end there."""
    found = records(write_folder(tmp_path, care=care(CARE)))
    assert values(found, ("days_since_water", 7), onset=12) == {"days_since_water": 8}


def test_window_of_a_stage(tmp_path: Path) -> None:
    """A stage's window is its last period: from its row to the row of the next stage."""
    rows = "{100},P-07,stage,,,resting\n{80},P-07,stage,,,growth_forming\n{20},P-07,stage,,,in_bud\n"
    watered = "".join(f"{{{ago}}},P-07,water,,,\n" for ago in (95, 79, 72, 60, 50, 41, 30, 21, 3))
    found = records(write_folder(tmp_path, care=care(rows + watered)))
    asked = MeasureRequest("water_gap_longest", 0, 0, "growth_forming")
    measure = measured(found, asked)[0]
    assert (measure.value, measure.during, measure.window_days) == (12, "growth_forming", 0)
    assert not any("60 days" in note for note in measure_case(found, [asked], NEEDS)[2])


def test_stage_of_the_bench_without_a_date(tmp_path: Path) -> None:
    """A stage known from the bench alone counts as its last sixty days, which is noted."""
    watered = "".join(f"{{{ago}}},P-07,water,,,\n" for ago in (90, 70, 69, 50, 20, 10))
    found = records(write_folder(tmp_path, care=care(watered)))
    asked = MeasureRequest("water_gap_longest", 0, 0, "growth_forming")
    measures, _, notes = measure_case(found, [asked], NEEDS)
    assert measures[0].value == 30
    assert any("growth_forming is not logged; its last 60 days" in note for note in notes)
    assert values(found, MeasureRequest("water_gap_longest", 0, 0, "resting")) == {}
