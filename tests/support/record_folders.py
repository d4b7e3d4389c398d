"""Groups of "same letter, other records": one letter, several records folders, each with the cause then right.

A group file is YAML: ``letter``, ``date``, ``place`` and ``plant`` (entries of the bench, each with its ``id``),
``climate`` and ``care`` that all variants share, and ``variants`` of ``name``, ``expect`` (a cause), ``why`` and
their own additions. ``differs: when`` says that the same things happen in all variants, at other times. ``batch``
names the lot in which a group was written and first answered; ``logger`` says how its loggers write (see ``Logger``).

Everything is dated by days before ``date``. Weather is a list of segments; from ``from_days_ago`` to
``to_days_ago``, both counted in, each day has its lowest temperature at 4 and its highest at 16 o'clock; humidity
runs against temperature about its mean, light rises from 7 to noon and is gone by 17 o'clock. Where segments overlap
the later in the list holds. Care is single (``days_ago``) or repeated (``every_days`` from ``from_days_ago`` down to
``to_days_ago``).
"""

from __future__ import annotations

import csv
import datetime as dt
import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml

__all__ = ["load_groups", "write_records"]

Entry = dict[str, Any]
Reading = tuple[dt.datetime, float, float, float | None]  # at, temperature in C, relative humidity in %, lux

LOW_AT_H, HIGH_AT_H = 4, 16
SUNRISE_H, SUNSET_H = 7, 17
HUMIDITY_PCT_PER_C = 1.5  # relative humidity lost for each degree that a room warms by: common practice
EVERY_MIN = 30
DOSE = ("amount", "unit", "detail")

# What an entry must have, and what it may have.
KEYS: Mapping[str, tuple[frozenset[str], frozenset[str]]] = {
    "group": (
        frozenset({"letter", "date", "place", "plant", "variants"}),
        frozenset({"differs", "climate", "care", "every_min", "name", "batch", "logger"}),
    ),
    "variant": (frozenset({"name", "expect", "why"}), frozenset({"plant", "climate", "care"})),
    "segment": (
        frozenset({"from_days_ago", "to_days_ago", "night_low_c", "day_high_c", "humidity_pct"}),
        frozenset({"light_lux"}),
    ),
    "single care": (frozenset({"days_ago", "action"}), frozenset(DOSE)),
    "repeated care": (frozenset({"every_days", "from_days_ago", "to_days_ago", "action"}), frozenset(DOSE)),
}

LIGHT_OF_LUX = {"lux": 1.0, "fc": 1 / 10.764, "ppfd": 0.0185}  # ppfd in daylight: common practice
FIRST_BATCH = "known"


@dataclass(frozen=True, slots=True)
class Logger:
    """How a logger writes: names of its columns (without the last, light is not logged), time stamp and units.

    ``temperature`` is C or F, ``light`` a key of ``LIGHT_OF_LUX``, ``decimal`` the mark before the tenths.
    """

    header: tuple[str, ...] = ("Time", "Temperature (°C)", "Relative humidity (%)", "Light (lux)")
    stamp: str = "%Y-%m-%d %H:%M"
    delimiter: str = ","
    decimal: str = "."
    temperature: str = "C"
    light: str = "lux"

    def row(self, at: dt.datetime, temperature_c: float, humidity_pct: float, lux: float | None) -> list[str]:
        """One line of the export."""
        warmth = temperature_c * 9 / 5 + 32 if self.temperature == "F" else temperature_c
        light = "" if lux is None else f"{lux * LIGHT_OF_LUX[self.light]:.{0 if self.light == 'lux' else 1}f}"
        figures = (f"{warmth:.1f}", f"{humidity_pct:.1f}", light)
        return [at.strftime(self.stamp), *(one.replace(".", self.decimal) for one in figures)][: len(self.header)]


def load_groups(folder: Path) -> list[Entry]:
    """Every group of a folder in the order of the file names; ``name`` is the name of the file without its ending.

    Raises ValueError with the file where a key is missing or unknown.
    """
    groups = []
    for path in sorted(folder.glob("*.yaml")):
        group: Entry = {"name": path.stem, "batch": FIRST_BATCH} | yaml.safe_load(path.read_text(encoding="utf-8"))
        _check_group(group, path.name)
        groups.append(group)
    return groups


def write_records(variant_group: Entry, variant: Entry, folder: Path) -> None:
    """Write ``bench.yaml``, ``climate/PLACE.csv`` and ``care.csv`` of one variant; same input, same bytes."""
    date: dt.date = variant_group["date"]
    place: Entry = variant_group["place"]
    plant: Entry = variant_group["plant"] | variant.get("plant", {})
    segments = [*variant_group.get("climate", []), *variant.get("climate", [])]
    care = [*variant_group.get("care", []), *variant.get("care", [])]
    (folder / "climate").mkdir(parents=True, exist_ok=True)
    (folder / "bench.yaml").write_text(_bench(place, plant, date), encoding="utf-8")
    logger = Logger(**variant_group.get("logger", {}))
    readings = (logger.row(*one) for one in _readings(segments, date, variant_group.get("every_min", EVERY_MIN)))
    _write_table(folder / "climate" / f"{place['id']}.csv", logger.header, readings, logger.delimiter)
    _write_table(folder / "care.csv", ("date", "plant", "action", "amount", "unit", "detail"), _care(care, plant, date))


def _check_group(group: Entry, file: str) -> None:
    _check(group, "group", file)
    for variant in group["variants"]:
        _check(variant, "variant", file)
    for holder in (group, *group["variants"]):
        for segment in holder.get("climate", []):
            _check(segment, "segment", file)
        for entry in holder.get("care", []):
            _check(entry, "repeated care" if "every_days" in entry else "single care", file)


def _check(entry: Entry, kind: str, file: str) -> None:
    needed, allowed = KEYS[kind]
    missing, strange = needed - entry.keys(), entry.keys() - needed - allowed
    if missing or strange:
        which = f"{file}: {kind} {entry.get('name', entry)}"
        raise ValueError(f"{which}: missing {sorted(missing)}, unknown {sorted(strange)}")


def _bench(place: Entry, plant: Entry, date: dt.date) -> str:
    about: Entry = {key: plant[key] for key in ("group", "medium", "size", "stage", "log") if key in plant}
    container = {key: plant[key] for key in ("pot_ml", "reservoir_ml") if key in plant}
    if container:
        about["container"] = container
    if "potted_days_ago" in plant:
        about["potted_on"] = date - dt.timedelta(days=plant["potted_days_ago"])
    where = {key: value for key, value in place.items() if key != "id"}
    bench: Entry = {"places": {place["id"]: where}, "plants": {plant["id"]: {"place": place["id"], **about}}}
    return str(yaml.safe_dump(bench, sort_keys=False))


def _readings(segments: list[Entry], date: dt.date, every_min: int) -> Iterator[Reading]:
    if not segments:
        return
    oldest = max(segment["from_days_ago"] for segment in segments)
    days = {ago: _weather_on(ago, segments) for ago in range(oldest + 1, -2, -1)}
    for ago in range(oldest, -1, -1):
        today = days[ago]
        if today is None:
            continue
        before, after = days[ago + 1] or today, days[ago - 1] or today
        midnight = dt.datetime.combine(date - dt.timedelta(days=ago), dt.time())
        for minute in range(0, 24 * 60, every_min):
            yield midnight + dt.timedelta(minutes=minute), *_reading(before, today, after, minute / 60)


def _weather_on(days_ago: int, segments: Iterable[Entry]) -> Entry | None:
    covering = [one for one in segments if one["to_days_ago"] <= days_ago <= one["from_days_ago"]]
    return covering[-1] if covering else None


def _reading(before: Entry, today: Entry, after: Entry, hour: float) -> tuple[float, float, float | None]:
    temperature = _curve(before["day_high_c"], today["night_low_c"], today["day_high_c"], after["night_low_c"], hour)
    humidity = _curve(_driest(before), _dampest(today), _driest(today), _dampest(after), hour)
    lux = today.get("light_lux")
    return temperature, humidity, None if lux is None else lux * _daylight(hour)


def _curve(before: float, early: float, late: float, after: float, hour: float) -> float:
    """A smooth run through the turning points of yesterday at 16, today at 4, today at 16 and tomorrow at 4 o'clock."""
    if hour < LOW_AT_H:
        start, end, since = before, early, hour + 24 - HIGH_AT_H
    elif hour < HIGH_AT_H:
        start, end, since = early, late, hour - LOW_AT_H
    else:
        start, end, since = late, after, hour - HIGH_AT_H
    return start + (end - start) * (1 - math.cos(math.pi * since / 12)) / 2


def _driest(day: Entry) -> float:
    return float(day["humidity_pct"]) - _half_span_pct(day)


def _dampest(day: Entry) -> float:
    return float(day["humidity_pct"]) + _half_span_pct(day)


def _half_span_pct(day: Entry) -> float:
    mean, warming = float(day["humidity_pct"]), float(day["day_high_c"] - day["night_low_c"])
    return max(0.0, min(HUMIDITY_PCT_PER_C * warming / 2, mean - 5, 99 - mean))


def _daylight(hour: float) -> float:
    """Share of the day's brightest light, 0 to 1."""
    return max(0.0, math.sin(math.pi * (hour - SUNRISE_H) / (SUNSET_H - SUNRISE_H))) if hour < SUNSET_H else 0.0


def _care(entries: Iterable[Entry], plant: Entry, date: dt.date) -> list[tuple[object, ...]]:
    rows = [
        (date - dt.timedelta(days=ago), plant["id"], entry["action"], *(entry.get(key, "") for key in DOSE))
        for entry in entries
        for ago in _days_ago(entry)
    ]
    return sorted(rows, key=lambda row: str(row[0]))


def _days_ago(entry: Entry) -> Iterable[int]:
    if "every_days" in entry:
        return range(entry["from_days_ago"], entry["to_days_ago"] - 1, -entry["every_days"])
    return (entry["days_ago"],)


def _write_table(path: Path, header: Iterable[str], rows: Iterable[Iterable[object]], delimiter: str = ",") -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, delimiter=delimiter, lineterminator="\n")
        writer.writerow(header)
        writer.writerows(rows)
