"""Small records folders for tests: an invented bench, invented exports, invented care."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Iterable
from pathlib import Path

from diagnose.intake.records import Records, read_records
from diagnose.intake.records.bench import ClimateHints
from diagnose.intake.records.climate import Climate, read_climate
from diagnose.intake.records.measure import measure_case
from diagnose.model.facts import Measure, MeasureRequest

DATE = dt.date(2026, 3, 2)
NEEDS = {"night_low_c": 15.0, "day_high_c": 24.0, "bloom_cue_night_c": 16.0}
BENCH = """\
places:
  east-window: {hemisphere: north, latitude: 47.4, indoors: true}
plants:
  P-07:
    group: miltoniopsis
    place: east-window
    medium: bark
    container: {pot_ml: 900, reservoir_ml: 0}
    potted_on: 2025-03-10
    size: flowering
    stage: growth_forming
"""


def export(text: str | bytes, folder: Path, *, date: dt.date = DATE, order: str = "", **hints: str) -> Climate:
    """The climate of an export given as text."""
    path = folder / "sill.csv"
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    return read_climate(path, "climate/sill.csv", date=date, hints=ClimateHints(**hints), stated_order=order)


def write_folder(folder: Path, *, bench: str = BENCH, care: str | None = None, **climate: str | bytes) -> Path:
    """A records folder; the exports are named by place, an underscore standing for a dash."""
    (folder / "climate").mkdir(parents=True, exist_ok=True)
    (folder / "bench.yaml").write_text(bench, encoding="utf-8")
    if care is not None:
        (folder / "care.csv").write_text("date,plant,action,amount,unit,detail\n" + care, encoding="utf-8")
    for place, text in climate.items():
        path = folder / "climate" / f"{place.replace('_', '-')}.csv"
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return folder


def records(folder: Path, date: dt.date = DATE, plant: str = "P-07", **more: str) -> Records:
    """The records of a plant."""
    return read_records(folder, plant=plant, date=date, **more)


def measured(found: Records, *requests: tuple[str, int] | MeasureRequest, onset: int | None = None) -> list[Measure]:
    """The measures found for requests given as (id, days)."""
    asked = [each if isinstance(each, MeasureRequest) else MeasureRequest(*each) for each in requests]
    return list(measure_case(found, asked, NEEDS, onset)[0])


def values(found: Records, *requests: tuple[str, int] | MeasureRequest, onset: int | None = None) -> dict[str, float]:
    """The values found, by id of the measure."""
    return {each.measure: each.value for each in measured(found, *requests, onset=onset)}


def weather(hour: float) -> tuple[float, float, float]:
    """Temperature (C), humidity (%) and light (lux) of an invented room at an hour counted from the first midnight."""
    day = 2 * math.pi * (hour - 9) / 24
    drift = 2 * math.sin(2 * math.pi * hour / (24 * 17))
    light = max(0.0, 8000 * math.sin(2 * math.pi * (hour - 6) / 24))
    return 19 + drift + 4 * math.sin(day), 60 - 2 * drift - 12 * math.sin(day), light


def log_rows(days: int, step_min: float, end: dt.date = DATE,
             of: Callable[[float], tuple[float, ...]] = weather) -> list[str]:
    """Lines of a log of whole days up to and with ``end``, as ISO time, temperature, humidity and light."""
    start = dt.datetime.combine(end - dt.timedelta(days=days - 1), dt.time())
    lines = []
    for at in range(round(days * 24 * 60 / step_min)):
        values = of(at * step_min / 60)
        time = start + dt.timedelta(minutes=at * step_min)
        lines.append(",".join([f"{time:%Y-%m-%d %H:%M:%S}", *(f"{value:.4f}" for value in values)]))
    return lines


def log(rows: Iterable[str], header: str = "time,temp_c,rh,lux") -> str:
    """A log of lines under a header."""
    return "\n".join([header, *rows]) + "\n"
