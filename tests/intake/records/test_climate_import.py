"""The import of climate exports: headers, clocks, units and faults that the 34 small files do not show."""

from __future__ import annotations

import datetime as dt
import zoneinfo
from pathlib import Path

import pytest

from diagnose.intake.records.climate import Climate
from diagnose.intake.records.columns import read_heading
from diagnose.intake.records.dialect import to_utf8
from diagnose.intake.records.stamps import pattern_of
from diagnose.problems import InputError
from tests.intake.records.folders import DATE, export, log, log_rows


def refused(text: str | bytes, folder: Path, **more: str) -> str:
    """The words with which an export is refused."""
    with pytest.raises(InputError) as caught:
        export(text, folder, **more)
    return str(caught.value)


def temperatures(climate: Climate) -> list[float | None]:
    """The temperatures that were read."""
    return climate.rows["temperature_c"].to_list()


@pytest.mark.parametrize(("header", "columns"), [
    (["Timestamp for sample frequency every 10 min", "Temperature_Celsius", "Relative_Humidity"], (0, 1, 2, None)),
    (["#", "Date Time, GMT+01:00", "Temp, °C (SEN S/N: 1)", "RH, % (SEN S/N: 1)", "Intensity, Lux"], (1, 2, 3, 4)),
    (["No.", "Datum/Uhrzeit", "Lufttemperatur °C", "Luftfeuchtigkeit %", "Taupunkt °C"], (1, 2, 3, None)),
    (["Date", "Heure", "Température", "Humidité"], (1, 2, 3, None)),
    (["Fecha y hora", "Temperatura ºC", "Humedad relativa"], (0, 1, 2, None)),
    (["Time", "Outdoor Temperature", "Indoor Temperature", "Indoor Humidity"], (0, 2, 3, None)),
    (["time", "Temp max", "Temp min", "Temp"], (0, 3, None, None)),
    (["time", "Temp max", "Temp min"], (0, 1, None, None)),
    (["time", "Dew point °C", "Heat index °C", "Temperature °C"], (0, 3, None, None)),
    (["Time", "°C", "%"], (0, 1, 2, None)),
    (["time", "PPFD (µmol m-2 s-1)"], (0, None, None, 1)),
])
def test_headers_of_many_loggers(header: list[str], columns: tuple[int | None, ...]) -> None:
    """Header words and units of several languages say what a column holds (common practice)."""
    found = read_heading(header)
    assert (found.time, found.temperature, found.humidity, found.light) == columns


@pytest.mark.parametrize(("name", "unit"), [
    ("Temp, °C", "C"), ("temp_c", "C"), ("T (C)", "C"), ("Temperature_Celsius", "C"), ("Temperature(F)", "F"),
    ("TempF", "F"), ("temp [°F]", "F"), ("Temperature", ""), ("T", ""), ("Temp Degrees Fahrenheit", "F")])
def test_units_of_temperature(name: str, unit: str) -> None:
    """The unit of a temperature is found in its name, and not made up where there is none."""
    assert read_heading(["time", name]).temperature_unit == unit


def test_zone_in_the_header(tmp_path: Path) -> None:
    """A shift from UTC in the name of the time column holds for its stamps."""
    climate = export('"Date Time, GMT-05:00",Temp °C\n2026-02-01 07:30,20\n', tmp_path, time_zone="Europe/Berlin")
    assert climate.rows["t"][0] % 86400 == (12 + 1) * 3600 + 1800


@pytest.mark.parametrize("cell", ["Max", "", "7:30", "2026", "12.5", "2026-02-30x", "----", "1.2.3.4"])
def test_cells_that_are_no_stamps(cell: str) -> None:
    """What is no date follows no pattern."""
    assert pattern_of(cell, "day-first") is None


@pytest.mark.parametrize(("cell", "minute"), [
    ("1 Feb 2026 07:30", 450), ("Feb 1, 2026 07:30", 450), ("2026/02/01 7:30 pm", 1170), ("20260201 0730", 450),
    ("20260201T073000Z", 450), ("01-Feb-26 07:30:15", 450), ("2026-02-01 07:30:00.250", 450), ("1769931000", 450),
    ("1769931000000", 450), ("46054.3125", 450), ("  2026-02-01 07:30  ", 450), ("2026-02-01 12:05 a.m.", 5)])
def test_time_stamps(cell: str, minute: int, tmp_path: Path) -> None:
    """Time stamps of many forms give the same moment (three of them of the first of February 2026)."""
    climate = export(f'time;temp_c\n"{cell}";20\n', tmp_path)
    assert climate.rows["t"][0] // 60 == dt.datetime(2026, 2, 1, tzinfo=dt.UTC).timestamp() // 60 + minute


def test_several_forms_in_one_column(tmp_path: Path) -> None:
    """A column with several forms of stamps is read row by row."""
    text = "time,temp_c\n2026-02-01 07:30,1\n1769931600,2\n02 Feb 2026 07:30,3\n2026-02-03T07:30:00,4\n"
    assert temperatures(export(text, tmp_path)) == [1, 2, 3, 4]


class TestDateOrder:
    """Day-first or month-first."""

    def test_a_part_above_twelve_settles_it(self, tmp_path: Path) -> None:
        """One date that can be read one way only settles all of them."""
        climate = export("time,temp_c\n01/02/2026 07:30,1\n13/02/2026 07:30,2\n", tmp_path)
        assert (climate.rows["t"][1] - climate.rows["t"][0]) / 86400 == 12

    def test_spacing_settles_it(self, tmp_path: Path) -> None:
        """Readings that lead from one day into the next under one order only settle it, which is noted."""
        rows = "".join(f"02/0{1 + at // 8}/2026 {at % 8 * 3:02}:00,20\n" for at in range(24))
        climate = export("time,temp_c\n" + rows, tmp_path)
        assert climate.rows["t"][-1] - climate.rows["t"][0] == 23 * 3 * 3600
        assert any("month-first" in note for note in climate.notes)

    def test_equal_parts_need_no_order(self, tmp_path: Path) -> None:
        """A date that is the same either way is no question."""
        assert export("time,temp_c\n02/02/2026 07:30,20\n", tmp_path).rows.height == 1

    def test_contradiction_with_what_was_said(self, tmp_path: Path) -> None:
        """A stated order that the dates contradict is refused with the line."""
        words = refused("time,temp_c\n01/02/2026 07:30,1\n02/13/2026 07:30,2\n", tmp_path, order="day-first")
        assert 'sill.csv:3: "02/13/2026 07:30" can only be read month-first, not day-first' in words

    def test_both_orders_in_one_file(self, tmp_path: Path) -> None:
        """Two exports of different order in one file are refused."""
        assert "only the other way round" in refused(
            "time,temp_c\n13/02/2026 07:30,1\n02/14/2026 07:30,2\n", tmp_path)

    def test_one_garbled_date_among_many_is_no_proof(self, tmp_path: Path) -> None:
        """A single date that fits only the other order is left out of a long log, not taken for a second export."""
        rows = [f"{1 + at // 24:02}/02/2026 {at % 24:02}:00,20" for at in range(24 * 20)]
        climate = export(log([*rows, "02/25/2026 10:00,20"], "time,temp_c"), tmp_path)
        assert climate.rows.height == len(rows)

    def test_impossible_date_is_no_proof(self, tmp_path: Path) -> None:
        """A garbled date settles nothing; it is left out."""
        climate = export("time,temp_c\n14/02/2026 07:30,1\n99/99/2026 07:30,2\n15/02/2026 07:30,3\n", tmp_path)
        assert temperatures(climate) == [1, 3]
        assert any("line 3: no time stamp" in note for note in climate.notes)


ZONE = zoneinfo.ZoneInfo("Europe/Berlin")


def year(form: str) -> str:
    """Hourly readings of a year in a place with summer time, as its clock, as UTC or as standard time; value = hour."""
    start = dt.datetime(2025, 3, 1, tzinfo=dt.UTC)
    lines = []
    for hour in range(24 * 360):
        moment = start + dt.timedelta(hours=hour)
        shown = {"local": moment.astimezone(ZONE).replace(tzinfo=None), "utc": moment,
                 "standard": (moment + dt.timedelta(hours=1)).replace(tzinfo=None),
                 "offset": moment.astimezone(ZONE)}[form]
        lines.append(f"{shown.isoformat()},{hour % 50}")
    return log(lines, "time,temp_c")


@pytest.mark.parametrize("form", ["local", "utc", "offset"])
def test_summer_time_in_a_known_zone(form: str, tmp_path: Path) -> None:
    """Whether a logger shows local time, UTC or a shift, the same moments come out, both changes included."""
    climate = export(year(form), tmp_path, time_zone="Europe/Berlin")
    assert climate.rows.height == 24 * 360
    assert set(climate.rows["t"].diff().drop_nulls()) == {3600}
    assert climate.rows["t"][0] == dt.datetime(2025, 3, 1, 1, tzinfo=dt.UTC).timestamp()
    assert climate.notes == ()


def test_logger_left_on_standard_time(tmp_path: Path) -> None:
    """A logger that does not follow summer time is found out in a known zone, and said to be."""
    climate = export(year("standard"), tmp_path, time_zone="Europe/Berlin")
    assert set(climate.rows["t"].diff().drop_nulls()) == {3600}
    assert any("does not follow summer time" in note for note in climate.notes)


def test_unknown_zone_is_named_with_its_line(tmp_path: Path) -> None:
    """A zone that is not known is refused with the nearest one."""
    words = refused(year("utc"), tmp_path, time_zone="Europe/Berlni")
    assert 'bench.yaml: "Europe/Berlni" is not a known time zone. Did you mean "Europe/Berlin"?' in words


def test_stamps_in_utc_are_cut_by_the_clock_of_the_place(tmp_path: Path) -> None:
    """Half past eleven at night in UTC is the next day in the east, and not read on the date."""
    text = "time,temp_c\n2026-03-02T13:30:00Z,20\n2026-03-02T23:30:00Z,21\n"
    assert temperatures(export(text, tmp_path, time_zone="Asia/Tokyo")) == [20]
    assert temperatures(export(text, tmp_path, time_zone="Europe/Lisbon")) == [20, 21]


def test_reset_clock_in_the_midst(tmp_path: Path) -> None:
    """Readings after a reset to any time long ago are left out, those after the clock was set again are used."""
    text = "time,temp_c\n2026-02-01 07:30,1\n2015-01-01 00:00,2\n2015-01-01 00:10,3\n2026-02-02 07:30,4\n"
    climate = export(text, tmp_path)
    assert temperatures(climate) == [1, 4]
    assert any("lines 3-4: the clock" in note for note in climate.notes)


@pytest.mark.parametrize(("text", "code", "words"), [
    ("a,b\n1,2\n", "no-header", 'found "a,b"'),
    ("2026-02-01 07:30,20,50\n", "no-header", "No line names a time"),
    ("time,temp_c\nyesterday,20\n", "time-stamp", '"yesterday"'),
    ("time,temp_c\n" + "x,20\n" * 9 + "2026-02-01 07:30,20\n", "time-stamp", "sill.csv:2"),
    ("time,temp\n2026-02-01 07:30,70\n2026-02-01 07:40,71\n", "temperature-unit", "no unit is stated"),
    ("time,temp_c\n2026-02-01 07:30,70\n2026-02-01 07:40,71\n", "temperature-unit", "as the header says"),
    ("time,temp_c\n2026-02-01 07:30,20,5,1\n", "too-many-cells", "4 cells stand here, the header names 2"),
])
def test_refusals(text: str, code: str, words: str, tmp_path: Path) -> None:
    """What cannot be read without guessing is refused with file, line and what helps."""
    found = refused(text, tmp_path)
    assert f"[{code}]" in found
    assert words in found


def test_two_sensors_in_one_file(tmp_path: Path) -> None:
    """Many stamps with two clearly different readings are two sensors, and are not mixed."""
    rows = log_rows(1, 30)
    other = log_rows(1, 30, of=lambda _: (30.0, 20.0, 0.0))
    assert "two sensors in one file" in refused(log([*rows, *other]), tmp_path)


def test_stamps_without_seconds(tmp_path: Path) -> None:
    """Two slightly different readings within a minute are no conflict: the first is kept and that is noted."""
    climate = export("time,temp_c\n2026-02-01 07:30,20.0\n2026-02-01 07:30,20.1\n2026-02-01 07:31,20.2\n", tmp_path)
    assert temperatures(climate) == [20.0, 20.2]
    assert any("slightly different" in note for note in climate.notes)


def test_stuck_sensor_in_a_lively_log(tmp_path: Path) -> None:
    """Two days in which nothing moves are left out of a log that moves everywhere else, with their lines."""
    rows = log_rows(10, 30)
    rows[96:192] = [",".join([row.split(",")[0], "20.0,50.0,0"]) for row in rows[96:192]]
    climate = export(log(rows), tmp_path)
    assert climate.rows.height == 480 - 96
    assert any("lines 98-193" in note and "stuck" in note for note in climate.notes)


def test_steady_log_is_not_stuck(tmp_path: Path) -> None:
    """A log that is steady throughout is used as it stands, and that is noted."""
    climate = export(log(log_rows(10, 30, of=lambda _: (20.0, 50.0, 0.0))), tmp_path)
    assert climate.rows.height == 480
    assert any("used as they stand" in note for note in climate.notes)


def test_a_quotation_mark_at_the_very_end(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """A last cell that is a lone quotation mark costs its own line, and nothing else is said of it."""
    rows = "".join(f"2026-02-01 {hour:02}:00,{15 + hour % 3},5{hour % 10}\n" for hour in range(24))
    climate = export(f'time,Temp °C,Humidity %\n{rows}2026-02-02 00:00,17,"', tmp_path)
    assert temperatures(climate)[:24] == [15.0 + hour % 3 for hour in range(24)]
    assert "panicked" not in capfd.readouterr().err


def test_broken_lines_are_left_out(tmp_path: Path) -> None:
    """Lines with too many cells far down, or with a stray quotation mark, are left out with their numbers."""
    rows = [row.rsplit(",", 1)[0] for row in log_rows(40, 30)]
    rows[1000] = rows[1000] + ",1,2,3"
    rows[1500] = '"' + rows[1500]
    climate = export(log(rows, "time,temp_c,rh"), tmp_path)
    assert climate.rows.height == len(rows) - 2
    assert any("lines 1002, 1502: cannot be split" in note for note in climate.notes)


def test_blank_lines_keep_line_numbers(tmp_path: Path) -> None:
    """Blank lines are passed over, and lines named in notes are those of the file."""
    climate = export("\ntime,temp_c\n\n2026-02-01 07:30,20\n\n\n2026-02-01 07:40,Err\nMax,20\n", tmp_path)
    assert temperatures(climate) == [20]
    assert any('line 7: 1 temperature cells cannot be right ("Err")' in note for note in climate.notes)
    assert any("line 8: no time stamp" in note for note in climate.notes)


@pytest.mark.parametrize(("cells", "lux"), [
    (["1,234", "950"], [1234, 950]), (["1.234,5", "0,0"], [1234.5, 0]), (["1234.5", "0.5"], [1234.5, 0.5]),
    (["12 450", "9 800"], [12450, 9800])])
def test_thousands_in_light(cells: list[str], lux: list[float], tmp_path: Path) -> None:
    """Thousands marks of either kind, and blanks, are no decimal marks."""
    german = "," in cells[0] and "." in cells[0]
    rows = [f'2026-02-0{day} 12:00;"{cell}";{"18,4" if german else "18.4"}' for day, cell in enumerate(cells, 1)]
    climate = export(log(rows, "time;lux;temp_c"), tmp_path)
    assert climate.rows["light_lux"].to_list() == lux


def test_unknown_light_unit_is_left_out(tmp_path: Path) -> None:
    """A light column without a unit is left out and noted; bench.yaml can state it."""
    text = "time,temp_c,light\n2026-02-01 12:00,20,500\n"
    climate = export(text, tmp_path)
    assert climate.rows["light_lux"].to_list() == [None]
    assert any("light_unit" in note for note in climate.notes)
    assert export(text, tmp_path, light_unit="klux").rows["light_lux"].to_list() == [None]  # 500 klux: not on earth
    assert export(text, tmp_path, light_unit="lux", light_source="white_led").rows["light_umol"][0] == pytest.approx(
        500 / 70)


def test_utf_16_without_a_mark_and_old_line_ends() -> None:
    """UTF-16 is known by its zero bytes; carriage returns alone end lines too."""
    text = "time,temp_c\r2026-02-01 07:30,20\r" * 20
    assert to_utf8(text.encode("utf-16-le")) == to_utf8(text.encode()) == text.replace("\r", "\n").encode()


def test_humidity_of_nought_is_no_reading(tmp_path: Path) -> None:
    """No humidity, and humidity far over 100 %, come from a failed sensor."""
    text = "time,temp_c,rh\n2026-02-01 07:30,20,0\n2026-02-01 07:40,20,104\n2026-02-01 07:50,20,55\n"
    assert export(text, tmp_path).rows["humidity_pct"].to_list() == [None, None, 55]


def test_bounds_of_the_date(tmp_path: Path) -> None:
    """The last reading of the date is used, the first of the next day is not."""
    text = f"time,temp_c\n{DATE} 23:59,20\n{DATE + dt.timedelta(days=1)} 00:00,21\n"
    assert temperatures(export(text, tmp_path)) == [20]


def test_one_cell_that_is_no_number_changes_no_other(tmp_path: Path) -> None:
    """A cell far down that is no number leaves every other reading as it was."""
    rows = log_rows(40, 30)
    plain = export(log(rows), tmp_path).rows
    time, _, *others = rows[1700].split(",")
    rows[1700] = ",".join([time, "Err", *others])
    marred = export(log(rows), tmp_path).rows
    assert marred["temperature_c"][1700] is None
    assert marred.drop("temperature_c").equals(plain.drop("temperature_c"))
    assert marred.slice(0, 1700).equals(plain.slice(0, 1700))
