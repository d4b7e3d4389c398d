"""The 34 logger exports, each with its difficulty: what is read, what is noted, what is refused."""

from __future__ import annotations

import datetime as dt
from itertools import pairwise
from typing import Any

import polars as pl
import pytest

from diagnose.intake.records.bench import ClimateHints
from diagnose.intake.records.climate import Climate, read_climate
from diagnose.intake.records.dialect import repaired, to_utf8
from diagnose.intake.records.rows import usual_step_s
from diagnose.intake.records.spans import by_day, spans
from diagnose.problems import InputError
from tests.intake.records.numbers import EXPORTS, NUMBERS, check_agrees, expected, inputs

AFTER_ALL = dt.date(2025, 1, 1)


def read(number: str, order: str = "", **hints: str) -> Climate:
    """The climate of the export that belongs to a number."""
    path = EXPORTS / inputs(number)["file"]
    return read_climate(path, f"climate/{path.name}", date=AFTER_ALL, hints=ClimateHints(**hints), stated_order=order)


def refusal(number: str, order: str = "", **hints: str) -> str:
    """The words with which an export is refused."""
    with pytest.raises(InputError) as caught:
        read(number, order, **hints)
    return str(caught.value)


def column(number: str, name: str) -> list[Any]:
    """The values of a column of an export."""
    return read(number).rows[name].to_list()


def clocks(climate: Climate) -> list[str]:
    """The times of the readings, in local standard time."""
    return [f"{dt.datetime.fromtimestamp(t, dt.UTC):%Y-%m-%d %H:%M:%S}" for t in climate.rows["t"]]


def note_on(climate: Climate, words: str) -> str:
    """The one note that holds some words."""
    found = [note for note in climate.notes if words in note]
    assert len(found) == 1, climate.notes
    return found[0]


def test_all_exports_are_here_and_tested() -> None:
    """There is a file for each of the 34 numbers, and a test that names it."""
    numbers = sorted(number for number in NUMBERS if number.startswith("CSV"))
    assert len(numbers) == 34
    assert {inputs(number)["file"] for number in numbers} == {path.name for path in EXPORTS.glob("*.csv")}
    tested = {name.split("_")[2] for name in globals() if name.startswith("test_csv_")}
    assert tested == {number[4:] for number in numbers}


def test_csv_01_baseline() -> None:
    """Comma, decimal point, ISO times: every reading, no note."""
    climate = read("CSV-01")
    check_agrees("CSV-01", {"rows": climate.rows.height, "T_mean": climate.rows["temperature_c"].mean(),
                     "RH_last": climate.rows["humidity_pct"][-1]})
    assert climate.notes == ()


def test_csv_02_semicolons_and_decimal_commas() -> None:
    """Semicolons with decimal commas and German headers."""
    check_agrees("CSV-02", {"rows": read("CSV-02").rows.height, "T": column("CSV-02", "temperature_c"),
                     "RH": column("CSV-02", "humidity_pct")})


def test_csv_03_tabs() -> None:
    """Tabs under a csv name."""
    check_agrees("CSV-03", {"rows": read("CSV-03").rows.height, "T": column("CSV-03", "temperature_c")})


def test_csv_04_quoted_decimal_commas() -> None:
    """Decimal commas in quoted cells between commas."""
    check_agrees("CSV-04", {"rows": read("CSV-04").rows.height, "T": column("CSV-04", "temperature_c")})


def test_csv_05_unquoted_decimal_commas_are_refused() -> None:
    """Decimal commas that cannot be told from delimiters are refused with line and counts, not read as 18 C and 4 %."""
    words = refusal("CSV-05")
    assert f"{expected('CSV-05')['row_fields'][0]} cells" in words
    assert f"names {expected('CSV-05')['header_fields']}" in words
    assert "csv05.csv:2" in words


def test_csv_06_byte_order_mark() -> None:
    """A byte order mark before the first header name is no part of it."""
    raw = (EXPORTS / "csv06.csv").read_bytes()
    assert raw.decode().startswith(expected("CSV-06")["first_header_plain_utf8"])
    assert to_utf8(raw).decode().startswith(expected("CSV-06")["first_header_sig"])
    assert column("CSV-06", "temperature_c") == [18.4]


def test_csv_07_utf_16() -> None:
    """UTF-16 with byte order mark, tabs and carriage returns."""
    assert (EXPORTS / "csv07.csv").read_bytes()[:2].hex() == expected("CSV-07")["magic"]
    check_agrees("CSV-07", {"rows": read("CSV-07").rows.height, "T": column("CSV-07", "temperature_c")})


def test_csv_08_windows_degree_sign() -> None:
    """A degree sign of Windows-1252 still says Celsius."""
    assert expected("CSV-08")["cp1252_header"] in to_utf8((EXPORTS / "csv08.csv").read_bytes()).decode()
    climate = read("CSV-08")
    assert climate.rows["temperature_c"].to_list() == [18.4]
    assert climate.notes == ()


def test_csv_09_twice_encoded_header() -> None:
    """A header encoded twice is mended, and its unit understood."""
    header = (EXPORTS / "csv09.csv").read_text(encoding="utf-8").splitlines()[0]
    assert repaired(header).split(",")[1] == expected("CSV-09")["repaired"]
    assert read("CSV-09").notes == ()


def test_csv_10_fahrenheit() -> None:
    """Fahrenheit by the header becomes Celsius."""
    assert column("CSV-10", "temperature_c") == pytest.approx(expected("CSV-10")["T_C"], abs=1e-4)


def test_csv_11_no_unit_and_values_no_room_has() -> None:
    """64 to 78 without a unit is asked about; either answer in bench.yaml is then taken."""
    assert "temperature_unit: F" in refusal("CSV-11")
    warmest = read("CSV-11", temperature_unit="F").rows["temperature_c"].max()
    check_agrees("CSV-11", {"as_F_max_C": warmest})
    assert read("CSV-11", temperature_unit="C").rows.height == 2


def test_csv_12_day_or_month_first_is_asked() -> None:
    """Dates that can be read both ways are asked about; with either answer the days are those of that reading."""
    words = refusal("CSV-12")
    assert "csv12.csv:2" in words
    assert "--date-order" in words
    assert "5 November or 11 May" in words
    for order, first, span in zip(("day-first", "month-first"), ("day_first", "month_first"),
                                  expected("CSV-12")["span_days"], strict=True):
        climate = read("CSV-12", order)
        assert clocks(climate)[0].startswith(expected("CSV-12")[first])
        assert (climate.rows["t"][-1] - climate.rows["t"][0]) / 86400 == span
        assert climate.rows.equals(read("CSV-12", date_order=order).rows)


def test_csv_13_two_digit_year() -> None:
    """Dotted dates with two-digit years are day-first, and that is noted."""
    climate = read("CSV-13")
    assert clocks(climate)[0] == expected("CSV-13")["first"]
    assert climate.rows.height == expected("CSV-13")["rows"]
    assert note_on(climate, "day-first")


def test_csv_14_twelve_hour_clock() -> None:
    """Twelve at night is 0 o'clock, twelve at noon 12; the single date needs its order stated."""
    assert "--date-order" in refusal("CSV-14")
    climate = read("CSV-14", "month-first")
    assert [int(clock[11:13]) for clock in clocks(climate)] == expected("CSV-14")["hours"]
    assert clocks(climate)[0].startswith("2024-11-05")


def test_csv_15_date_and_time_apart() -> None:
    """A blank date is that of the row above."""
    climate = read("CSV-15")
    assert clocks(climate)[-1] == expected("CSV-15")["last"]
    assert climate.rows.height == 3


def test_csv_16_epoch_seconds_and_milliseconds() -> None:
    """Seconds and milliseconds since 1970 are told apart by size; as no zone is stated, days run by UTC."""
    climate = read("CSV-16")
    assert [f"{clock[:10]}T{clock[11:]}Z" for clock in clocks(climate)] == expected("CSV-16")["utc"]
    assert note_on(climate, "time_zone")
    assert clocks(read("CSV-16", time_zone="Europe/Berlin"))[0] == "2024-11-05 08:30:00"


def test_csv_17_spreadsheet_days() -> None:
    """Day numbers of a spreadsheet become times, to the second."""
    climate = read("CSV-17")
    assert clocks(climate) == [expected("CSV-17")["first"], expected("CSV-17")["second"]]


def test_csv_18_several_offsets() -> None:
    """Stamps of several zones in one column stand in the order of their moments."""
    climate = read("CSV-18")
    assert [f"{clock[:10]}T{clock[11:]}Z" for clock in clocks(climate)] == expected("CSV-18")["utc"]


@pytest.mark.parametrize("zone", ["", "Europe/Berlin"])
def test_csv_19_autumn_clock_change(zone: str) -> None:
    """The hour that occurs twice is kept twice, with its zone known or not."""
    climate = read("CSV-19", time_zone=zone)
    utc = [f"{dt.datetime.fromtimestamp(t - 3600, dt.UTC):%H:%M}" for t in climate.rows["t"]]
    assert utc == expected("CSV-19")["utc"]
    assert (climate.rows["t"][-1] - climate.rows["t"][0]) / 3600 == expected("CSV-19")["hours"]


@pytest.mark.parametrize("zone", ["", "Europe/Berlin"])
def test_csv_20_spring_clock_change(zone: str) -> None:
    """A reading in the hour that summer time skips shows a logger left on winter time."""
    climate = read("CSV-20", time_zone=zone)
    utc = [f"{dt.datetime.fromtimestamp(t - 3600, dt.UTC):%H:%M}" for t in climate.rows["t"]]
    assert utc == expected("CSV-20")["as_fixed_winter_time"]
    assert bool(zone) == any("does not follow summer time" in note for note in climate.notes)


def test_csv_21_reset_clock() -> None:
    """Readings stamped after the clock was reset are left out, with their lines."""
    climate = read("CSV-21")
    assert climate.rows.height == expected("CSV-21")["usable"]
    assert "lines 4-5" in note_on(climate, "clock")


def test_csv_22_sentinels() -> None:
    """Sentinels and words are left out, with their lines; the humidity beside them stays."""
    climate = read("CSV-22")
    temperature = climate.rows["temperature_c"].drop_nulls()
    check_agrees("CSV-22", {"plausible": temperature.len(), "mean": temperature.mean()})
    assert climate.rows["humidity_pct"].drop_nulls().len() == 10
    assert "lines 3-6, 8-10: 7 temperature cells" in note_on(climate, "cannot be right")


def test_csv_23_gap() -> None:
    """A gap of six hours in a log of ten minutes is unknown, not bridged."""
    climate = read("CSV-23")
    assert usual_step_s(climate.rows["t"]) / 60 == expected("CSV-23")["usual_step_min"]
    gaps = [later - earlier for earlier, later in pairwise(climate.rows["t"]) if later - earlier > climate.gap_limit_s]
    assert len(gaps) == expected("CSV-23")["gaps"]
    assert gaps[0] / 600 - 1 == expected("CSV-23")["missing"]
    assert note_on(climate, "gaps of more than 2 h")


def test_csv_24_doubled_stamps() -> None:
    """Equal rows are merged; a time with two different readings is left out, with its lines, not averaged."""
    climate = read("CSV-24")
    assert climate.rows["temperature_c"].to_list() == [18.4]
    assert note_on(climate, "counted once (1)")
    assert "lines 4-5" in note_on(climate, "different readings")


def test_csv_25_newest_first() -> None:
    """A log that stands newest first is turned round."""
    assert column("CSV-25", "temperature_c")[0] == expected("CSV-25")["sorted_first_T"]
    assert read("CSV-25").rows["t"].is_sorted()


def test_csv_26_preamble_and_summary() -> None:
    """Lines above the header are passed over; a summary below is left out and noted with its lines."""
    climate = read("CSV-26")
    assert climate.rows.height == expected("CSV-26")["rows"]
    assert "lines 8-10" in note_on(climate, "no time stamp")


def test_csv_27_repeated_header() -> None:
    """A header repeated where two exports were joined is no reading."""
    climate = read("CSV-27")
    assert climate.rows.height == expected("CSV-27")["rows"]
    assert "line 3" in note_on(climate, "header is repeated")


def test_csv_28_trailing_delimiter_and_cut_line() -> None:
    """A delimiter at the end of lines does no harm; a last line that breaks off is left out."""
    climate = read("CSV-28")
    assert climate.rows.height == expected("CSV-28")["complete_rows"]
    assert "line 4" in note_on(climate, "breaks off")


def test_csv_29_units_in_cells() -> None:
    """Units, no-break blanks and a true minus sign within cells are understood."""
    check_agrees("CSV-29", {"T": column("CSV-29", "temperature_c"), "RH": column("CSV-29", "humidity_pct")})


def test_csv_30_fraction_and_over_hundred() -> None:
    """A humidity that mostly stands as a fraction is one; a little over 100 % is 100 %; both are noted."""
    climate = read("CSV-30")
    assert climate.rows["humidity_pct"].to_list() == [63, 62, 100]
    assert note_on(climate, "fraction")
    assert "line 4" in note_on(climate, "over 100 %")


def test_csv_31_changing_interval() -> None:
    """A mean is weighted by time, not by readings, when the interval changes."""
    climate = read("CSV-31")
    found = by_day(spans(climate.rows, pl.col("temperature_c"), climate.gap_limit_s)).collect()
    assert found["area"].sum() / found["seconds"].sum() == pytest.approx(expected("CSV-31")["time_weighted"], abs=1e-4)
    assert climate.rows["temperature_c"].mean() == pytest.approx(expected("CSV-31")["plain_mean"], abs=1e-4)


def test_csv_32_contradicting_dew_point() -> None:
    """A dew point of the logger that its own readings contradict is named with its line and size."""
    found = note_on(read("CSV-32"), "dew point")
    assert f"line {2 + expected('CSV-32')['suspect_rows'][0]}" in found
    assert f"{expected('CSV-32')['dew_gap'][1]:.1f} C" in found


@pytest.mark.parametrize("raw", [None, b"", b"\n\n", b"\xef\xbb\xbf"])
def test_csv_33_no_readings(raw: bytes | None, tmp_path_factory: pytest.TempPathFactory) -> None:
    """A header without readings, and an empty file, are said to hold none."""
    path = EXPORTS / "csv33.csv"
    if raw is not None:
        path = tmp_path_factory.mktemp("empty") / "csv33.csv"
        path.write_bytes(raw)
    climate = read_climate(path, "climate/csv33.csv", date=AFTER_ALL, hints=ClimateHints())
    assert climate.rows.height == expected("CSV-33")["rows"]
    assert note_on(climate, "there are no readings")


def test_csv_34_thousands_points() -> None:
    """A point before three digits and a decimal comma marks thousands: 12,450 lux, not 12."""
    assert column("CSV-34", "light_lux") == expected("CSV-34")["lux"]
