"""What must not matter to a climate log: how often was measured, in which order and dialect, and what came later."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from random import Random
from typing import Final

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from diagnose.intake.records.climate_measures import CLIMATE_MEASURES
from diagnose.model.facts import MeasureRequest
from tests.intake.records.folders import DATE, log, log_rows, records, values, weather, write_folder

# How far a measure may move when a log is thinned to one reading an hour.
TOLERANCE: Final = {
    "relative_humidity_mean": 0.1, "temperature_mean": 0.05, "vapour_pressure_deficit_mean": 0.01,
    "dew_point_mean": 0.05, "hours_below_need": 0.2, "hours_above_need": 0.2, "degree_hours_below_need": 0.2,
    "degree_hours_above_need": 0.2, "wet_hours": 0.2, "daily_light_integral": 0.1, "temperature_night_low": 0.15,
    "temperature_day_high": 0.15, "relative_humidity_low": 0.4, "relative_humidity_high": 0.4,
    "temperature_coldest": 0.15, "temperature_hottest": 0.15, "day_night_difference": 0.2, "largest_swing_24h": 0.3,
    "nights_at_cue": 1, "light_peak_lux": 100,
}
ASKED: Final = [MeasureRequest(measure, days) for measure in TOLERANCE for days in (7,)]
LOG: Final = log_rows(12, 10)
SEEDS: Final = st.integers(0, 10**6)
QUICK: Final = settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


def found(folder: Path, text: str | bytes, **hints: str) -> dict[str, float]:
    """Every climate measure over a week for a log."""
    more = f"climate: {{east-window: {{{', '.join(f'{key}: {value}' for key, value in hints.items())}}}}}\n"
    bench = (BENCH_WITHOUT_HINTS + more) if hints else BENCH_WITHOUT_HINTS
    return values(records(write_folder(folder, bench=bench, east_window=text)), *ASKED)


BENCH_WITHOUT_HINTS = """\
places:
  east-window: {indoors: true}
plants:
  P-07: {place: east-window}
"""


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> dict[str, float]:
    """The measures of the whole log."""
    return found(tmp_path_factory.mktemp("whole"), log(LOG))


def test_every_climate_measure_is_compared(whole: dict[str, float]) -> None:
    """The log gives every climate measure there is, so that none escapes these tests."""
    assert set(whole) == set(CLIMATE_MEASURES) == set(TOLERANCE)


@QUICK
@given(every=st.integers(2, 6), first=st.integers(0, 5))
def test_thinning_changes_nothing_beyond_tolerance(every: int, first: int, tmp_path: Path,
                                                   whole: dict[str, float]) -> None:
    """Up to one reading an hour instead of six gives the same measures within a stated tolerance."""
    thin = found(tmp_path, log(LOG[first::every]))
    for measure, value in whole.items():
        assert thin[measure] == pytest.approx(value, abs=TOLERANCE[measure]), measure


@QUICK
@given(seed=SEEDS, share=st.floats(0.6, 1))
def test_losing_readings_at_random_changes_little(seed: int, share: float, tmp_path: Path,
                                                  whole: dict[str, float]) -> None:
    """Readings lost here and there, up to four in ten, hardly move a mean, though gaps arise."""
    chance = Random(seed)
    thin = found(tmp_path, log([line for line in LOG if chance.random() < share]))
    for measure in ("relative_humidity_mean", "temperature_mean", "vapour_pressure_deficit_mean"):
        assert thin[measure] == pytest.approx(whole[measure], abs=3 * TOLERANCE[measure]), measure


@QUICK
@given(seed=SEEDS)
def test_shuffling_changes_nothing(seed: int, tmp_path: Path, whole: dict[str, float]) -> None:
    """The order of the rows does not matter at all."""
    lines = list(LOG)
    Random(seed).shuffle(lines)
    assert found(tmp_path, log(lines)) == pytest.approx(whole)


@QUICK
@given(at=st.integers(1, len(LOG) - 1), overlap=st.integers(0, 200), swapped=st.booleans())
def test_splitting_and_joining_changes_nothing(at: int, overlap: int, swapped: bool, tmp_path: Path,
                                               whole: dict[str, float]) -> None:
    """Two overlapping exports joined in either order, header repeated, are as good as one."""
    parts = [LOG[:at], LOG[max(0, at - overlap):]]
    first, second = reversed(parts) if swapped else parts
    assert found(tmp_path, log([*first, "time,temp_c,rh,lux", *second])) == pytest.approx(whole)


ABSURD = st.sampled_from(["9999,0.001,-5", "-40,101,1e9", "Err,---,", "20,50,100", "64,64,64", ",,", "3276.7,255,NaN"])


@QUICK
@given(rows=st.lists(st.tuples(st.integers(1, 4000), ABSURD, st.integers(0, len(LOG))), max_size=30))
def test_rows_after_the_date_change_nothing(rows: list[tuple[int, str, int]], tmp_path: Path,
                                            whole: dict[str, float]) -> None:
    """Absurd rows dated after the date, wherever they stand, change no measure."""
    lines = list(LOG)
    for hours, cells, at in rows:
        stamp = dt.datetime.combine(DATE, dt.time(23, 59)) + dt.timedelta(hours=hours)
        lines.insert(at, f"{stamp:%Y-%m-%d %H:%M:%S},{cells}")
    assert found(tmp_path, log(lines)) == whole


def dialect(line: str, form: str, separator: str = ",", decimal: str = ".", fahrenheit: bool = False) -> str:
    """A line of the log in another dialect."""
    time, *cells = line.split(",")
    numbers = [float(cell) for cell in cells]
    if fahrenheit:
        numbers[0] = numbers[0] * 1.8 + 32
    stamp = dt.datetime.fromisoformat(time)
    text = stamp.strftime(form) if "EPOCH" not in form else form.replace("EPOCH", str(int(
        stamp.replace(tzinfo=dt.UTC).timestamp())))
    return separator.join([text, *(f"{number:.4f}".replace(".", decimal) for number in numbers)])


DIALECTS: Final = {
    "german": ("Zeit;Temperatur (°C);rel. Feuchte (%);Licht (lux)", ("%d.%m.%Y %H:%M", ";", ","), "utf-8", {}),
    "day first": ("Date,Temp °C,RH %,Light lux", ("%d/%m/%Y %H:%M", ",", "."), "utf-8-sig", {}),
    "month first, 12 hours": ("Time\tTemp(C)\tHum(%)\tLux", ("%m/%d/%Y %I:%M:%S %p", "\t", "."), "utf-16", {}),
    "fahrenheit": ("Timestamp,Temperature (°F),Humidity,lux", ("%Y-%m-%dT%H:%M:%SZ", ",", ".", True), "cp1252", {}),
    "epoch": ("ts|t|rh|lux", ("EPOCH", "|", "."), "utf-8", {}),
    "month names": ("time,temp_c,rh,lux", ("%d %b %Y %H:%M", ",", "."), "ascii", {}),
    "preamble": ("Logger;7\nStart;now\n\nDate Time;T;RH;lx", ("%Y/%m/%d %H:%M", ";", "."), "utf-8", {}),
}


@pytest.mark.parametrize("name", DIALECTS)
def test_dialects_give_the_same(name: str, tmp_path: Path, whole: dict[str, float]) -> None:
    """The same log in another dialect gives the same measures."""
    header, form, encoding, hints = DIALECTS[name]
    text = log([dialect(line, *form) for line in LOG], header)
    if name != "month names":
        text = text.replace("\n", "\r\n")
    assert found(tmp_path, text.encode(encoding), **hints) == pytest.approx(whole, rel=1e-4, abs=1e-3)


def test_thinned_light_only_by_day_is_known_by_its_days(tmp_path: Path) -> None:
    """A log that stops at night gives no light sum rather than a wrong one."""
    by_day = [line for line in LOG if 6 <= int(line[11:13]) < 18]
    got = found(tmp_path, log(by_day))
    assert "daily_light_integral" not in got
    assert "temperature_night_low" not in got


def test_weather_of_these_tests_is_a_room() -> None:
    """The invented weather crosses the limits that the measures look at."""
    readings = [weather(hour) for hour in range(24 * 12)]
    assert min(each[0] for each in readings) < 15 < 24 < max(each[0] for each in readings)
