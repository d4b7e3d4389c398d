"""One invented climate in the dialects of many loggers: other spellings of the same readings give the same measures."""

from __future__ import annotations

import datetime as dt
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

import pytest

from diagnose.intake.records.climate import Climate
from diagnose.problems import InputError
from tests.intake.records.folders import export, log_rows
from tests.intake.records.test_log_properties import TOLERANCE, found

ROWS: Final = [(dt.datetime.fromisoformat(line.split(",")[0]), *map(float, line.split(",")[1:]))
               for line in log_rows(12, 10)]
GERMAN, FRENCH, DUTCH = ["Jan.", "Feb.", "März"], ["janv.", "févr.", "mars"], ["jan", "feb", "mrt"]
Stamp = Callable[[dt.datetime], str]


@dataclass(frozen=True)
class Dialect:
    """How a logger writes: header, stamp, delimiter, decimal mark, encoding, line above, unit of temperature, light."""

    header: str
    stamp: Stamp
    delimiter: str = ","
    decimal: str = "."
    encoding: str = "utf-8"
    above: str = ""
    fahrenheit: bool = False
    per_lux: float = 1.0
    below: str = ""
    hints: dict[str, str] = field(default_factory=dict)

    def written(self) -> bytes:
        """The whole export."""
        lines = [self.delimiter.join([self.stamp(time), *self._cells(*values)]) for time, *values in ROWS]
        return (self.above + "\n".join([self.header, *lines]) + "\n" + self.below).encode(self.encoding)

    def _cells(self, temperature: float, humidity: float, lux: float) -> list[str]:
        shown = temperature * 1.8 + 32 if self.fahrenheit else temperature
        cells = f"{shown:.3f}", f"{humidity:.3f}", f"{lux * self.per_lux:.4f}"
        return [cell.replace(".", self.decimal) for cell in cells]


def twelve(form: str, morning: str, evening: str) -> Stamp:
    """Stamps on a clock of twelve hours, with the words for its halves in the place of {half}."""
    return lambda time: time.strftime(form).replace("{half}", evening if time.hour >= 12 else morning)


def named(form: str, months: list[str]) -> Stamp:
    """Stamps with the name of the month in the place of {month}."""
    return lambda time: time.strftime(form).replace("{month}", months[time.month - 1])


def plain(form: str) -> Stamp:
    """Stamps of a form."""
    return lambda time: time.strftime(form)


DIALECTS: Final = {
    "two-digit years": Dialect(
        "Datum/Uhrzeit;Temperatur [°C];Luftfeuchte [%rF];Helligkeit [Lux]", plain("%d.%m.%y %H:%M"), ";", ",",
        "cp1252"),
    "year first in two digits": Dialect("time,temp_c,rh,lux", plain("%y-%m-%d %H:%M:%S")),
    "UTF-16 with tabs": Dialect("Time\tTemperature(°C)\tHumidity(%RH)\tIlluminance(lx)", plain("%Y-%m-%d %H:%M"), "\t",
                                encoding="utf-16"),
    "date and time apart": Dialect('"Date","Time","Temp (degF)","RH (%RH)","Light (Lux)"',
                                   twelve('"%m/%d/%Y","%I:%M {half}"', "a.m.", "p.m."), fahrenheit=True),
    "half of the day first": Dialect("日時,温度(℃),湿度(%),照度(lx)", twelve("%Y/%m/%d {half}%I:%M", "午前", "午後"),
                                     encoding="cp932"),
    "Japanese dates": Dialect("日時,温度(℃),湿度(%),照度(lx)", plain("%Y年%m月%d日 %H時%M分")),
    "Chinese code page": Dialect("时间,温度(°C),湿度(%RH),光照(lux)", plain("%Y-%m-%d %H:%M"), encoding="gb18030"),
    "Russian code page": Dialect("Дата;Время;Температура, °C;Влажность, %;Освещённость, лк", plain("%d.%m.%Y;%H:%M"),
                                 ";", ",", "cp1251"),
    "Polish code page": Dialect("Data i godzina;Temperatura [°C];Wilgotność [%];Natężenie światła [lx]",
                                plain("%d.%m.%Y %H:%M"), ";", ",", "cp1250"),
    "hours with h": Dialect("Date;Heure;Température (°C);Humidité relative (%);Éclairement (lux)",
                            plain("%d/%m/%Y;%Hh%M"), ";", ",", "cp1252"),
    "hours with dots": Dialect("Datum;Tijd;Temperatuur °C;Vochtigheid;Licht (lux)", plain("%d-%m-%Y;%H.%M"), ";", ","),
    "blank within a. m.": Dialect("Fecha;Hora;Temperatura (°C);Humedad (%);Luz (lux)",
                                  twelve("%d-%m-%Y;%I:%M {half}", "a. m.", "p. m."), ";", ","),
    "German months": Dialect("Zeit;Temp. °C;RF %;Lux", named("%d. {month} %Y, %H:%M Uhr", GERMAN), ";", ","),
    "French months": Dialect("Date;Temp. °C;Humidité;Lux", named("%d {month} %Y à %H:%M", FRENCH), ";", ","),
    "Dutch months": Dialect("Datum;Temp. °C;RV;Lux", named("%d {month} %Y %H:%M", DUTCH), ";", ","),
    "days of the week": Dialect("Time,Temp(C),RH(%),Lux", plain('"%A, %B %d, %Y %I:%M:%S %p"')),
    "milliseconds": Dialect("ts_ms|temp_c|rh|lux", lambda time: f"{time.replace(tzinfo=dt.UTC).timestamp() * 1000:.0f}",
                            "|"),
    "shift and zone": Dialect("time,temp_c,rh,lux", plain("%Y-%m-%dT%H:%M:%S+01:00[Europe/Berlin]")),
    "letters of a zone": Dialect("time,temp_c,rh,lux", plain("%Y-%m-%d %H:%M:%S CET")),
    "remarks above and below": Dialect("[Time];[T °C];[RH %];[Lux]", plain("[%Y-%m-%d %H:%M:%S]"), ";",
                                       above="# made by a logger\n# Temperature in C\n\n", below="Total;1728\n"),
    "units in a line of their own": Dialect("Time,Temperature,Humidity,Light\nlocal,degF,%,lux",
                                            plain("%Y-%m-%d %H:%M"), fahrenheit=True),
    "photons": Dialect("Time,Tair_C,RH_pct,PAR_umol_m2_s", plain("%Y-%m-%d %H:%M"), per_lux=1 / 54,
                       hints={"light_source": "sunlight"}),
    "lumens a square foot": Dialect('"Date Time","Temp, °F","RH, %","Intensity, lum/ft²"', plain("%m/%d/%y %H:%M"),
                                    fahrenheit=True, per_lux=0.3048**2, above='"Plot Title: sill"\n'),
}


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> dict[str, float]:
    """The measures of the same climate in the plainest form."""
    text = Dialect("time,temp_c,rh,lux", plain("%Y-%m-%d %H:%M:%S")).written()
    return found(tmp_path_factory.mktemp("plain"), text)


@pytest.mark.parametrize("name", DIALECTS)
def test_dialect_gives_the_same_measures(name: str, tmp_path: Path, whole: dict[str, float]) -> None:
    """The same climate as another logger writes it gives the same measures."""
    assert set(whole) == set(TOLERANCE)
    got = found(tmp_path, DIALECTS[name].written(), **DIALECTS[name].hints)
    assert got == pytest.approx(whole, rel=1e-3, abs=2e-3)


def notes(text: str, folder: Path) -> str:
    """Everything noted on an export."""
    climate: Climate = export(text, folder)
    return "\n".join(climate.notes)


def test_unknown_columns_are_said(tmp_path: Path) -> None:
    """A column that nobody understands is named, so that a humidity of another language is not lost in silence."""
    said = notes("No.,time,temp_c,Kelembapan,VPD (kPa)\n1,2026-02-01 07:30,20,55,0.9\n", tmp_path)
    assert 'not known what they hold: "Kelembapan"' in said
    assert "VPD" not in said


def test_a_weekday_does_not_hide_an_open_date_order(tmp_path: Path) -> None:
    """Dates that can be read both ways are asked about, however they are spelled."""
    with pytest.raises(InputError, match="date-order"):
        export("time,temp_c\n[03/04/2025 10:00],20\n[03/04/2025 11:00],20\n", tmp_path)


def test_readings_without_header_are_told_what_to_write(tmp_path: Path) -> None:
    """Without a header nothing says which number is what; an example of one is given."""
    with pytest.raises(InputError, match="time,temp_c,rh"):
        export("2026-02-01 07:30,20.1,55.2\n", tmp_path)


@pytest.mark.parametrize("line", ["time,T,RH\n", "time 1,T,RH\n"])
def test_a_header_again_and_again_is_quickly_looked_at(line: str, tmp_path: Path) -> None:
    """A file that begins with hundreds of headers costs no more than any other, and its readings are found."""
    readings = "".join(f"2026-02-{day:02d} {hour:02d}:00,{hour},55\n" for day in range(1, 15) for hour in range(24))
    start = time.process_time()
    climate: Climate = export(line * 300 + readings, tmp_path)
    assert time.process_time() - start < 2.0
    assert climate.rows["temperature_c"].to_list() == [float(hour) for hour in range(24)] * 14
