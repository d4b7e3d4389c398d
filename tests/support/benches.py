"""Invented benches: plants whose records are as their groups want them, and what may be changed about them."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import yaml

from tests.own import own_base

__all__ = ["BenchSpec", "PlantSpec", "write_bench"]

CLIMATE_DAYS = 300
CARE_DAYS = 150
COOL_MONTHS = {"north": (10, 11, 12), "south": (4, 5, 6)}


@dataclass(frozen=True)
class PlantSpec:
    """A plant as its group wants it: watered a day before its usual gap is out, fed, flushed, lately potted.

    ``entry`` changes its bench entry, ``care`` adds rows as (days ago, action, amount, unit, detail); ``gap_days``
    waters at another gap; ``feeds`` False leaves the feed away.
    """

    plant: str
    group: str
    place: str
    entry: Mapping[str, Any] = field(default_factory=dict)
    care: tuple[tuple[int, str, str, str, str], ...] = ()
    gap_days: int = 0
    feeds: bool = True


@dataclass(frozen=True)
class BenchSpec:
    """Plants, and for each place what differs from the wish of its first plant: night_low_c, day_high_c, humidity_pct,
    light_lux over the last ``last_days`` days."""

    date: dt.date
    plants: tuple[PlantSpec, ...]
    places: Mapping[str, Mapping[str, float]] = field(default_factory=dict)
    hemisphere: str = "north"
    kind: Mapping[str, bool] = field(default_factory=lambda: {"indoors": True})


def write_bench(folder: Path, spec: BenchSpec) -> Path:
    """Write the records folder; same spec, same bytes."""
    (folder / "climate").mkdir(parents=True, exist_ok=True)
    first = {plant.place: plant for plant in reversed(spec.plants)}
    bench = {"places": {place: {"hemisphere": spec.hemisphere, **spec.kind} for place in first},
             "climate": {place: {"light_source": "sunlight"} for place in first},
             "plants": {plant.plant: _entry(plant, spec.date) for plant in spec.plants}}
    (folder / "bench.yaml").write_text(yaml.safe_dump(bench, sort_keys=False), encoding="utf-8")
    rows = sorted(row for plant in spec.plants for row in _care(plant, spec.date))
    lines = ["date,plant,action,amount,unit,detail", *(",".join(row) for row in rows)]
    (folder / "care.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    for place, plant in first.items():
        (folder / "climate" / f"{place}.csv").write_text(
            "\n".join(_climate(spec, plant.group, spec.places.get(place, {}))) + "\n", encoding="utf-8")
    return folder


def _entry(plant: PlantSpec, date: dt.date) -> dict[str, Any]:
    return {"group": plant.group, "place": plant.place, "medium": "bark", "size": "flowering",
            "stage": "growth_forming", "container": {"pot_ml": 900, "reservoir_ml": 0},
            "potted_on": date - dt.timedelta(days=240), **plant.entry}


def _care(plant: PlantSpec, date: dt.date) -> Iterable[tuple[str, ...]]:
    needs = own_base().groups[plant.group].needs
    gap = plant.gap_days or max(1, int(needs["water_gap_days"].value) - 1)
    arrived = max((ago for ago, action, *_ in plant.care if action == "arrive"), default=CARE_DAYS)
    for turn, ago in enumerate(range(arrived - arrived % gap, -1, -gap)):
        day = str(date - dt.timedelta(days=ago))
        if turn % 6 == 5:
            yield day, plant.plant, "flush", "", "", ""
        elif turn % 2 and plant.feeds:
            yield day, plant.plant, "feed", f"{needs['feed_growth_ppm_n'].value:.0f}", "ppm N", ""
        else:
            yield day, plant.plant, "water", "", "", ""
    for ago, *cells in plant.care:
        yield (str(date - dt.timedelta(days=ago)), plant.plant, *cells)


def _climate(spec: BenchSpec, group: str, changed: Mapping[str, float]) -> Iterable[str]:
    needs = {need: entry.value for need, entry in own_base().groups[group].needs.items()}
    usual = {
        "night_low_c": needs["night_low_c"] + 2,
        "day_high_c": min(needs["day_high_c"] - 2, needs["night_low_c"] + 10),
        "humidity_pct": min(needs["humidity_high_pct"] - 3, max(needs["humidity_low_pct"] + 6, 60)),
        "light_lux": (needs["light_low_lux"] + needs["light_high_lux"]) / 2,
    }
    yield "Time,Temperature (C),Relative humidity (%),Light (lux)"
    for ago in range(CLIMATE_DAYS - 1, -1, -1):
        day = spec.date - dt.timedelta(days=ago)
        wants = {**usual, **changed} if ago < changed.get("last_days", CLIMATE_DAYS) else usual
        low = wants["night_low_c"]
        if "night_low_c" not in changed and day.month in COOL_MONTHS[spec.hemisphere]:
            low = min(low, needs.get("bloom_cue_night_c", low) - 1)
        for hour in range(24):
            rise = (1 - math.cos(math.pi * (hour - 4) / 12)) / 2
            warm = low + (wants["day_high_c"] - low) * rise
            damp = wants["humidity_pct"] - (warm - (low + wants["day_high_c"]) / 2)
            light = wants["light_lux"] * max(0.0, math.sin(math.pi * (hour - 7) / 10)) if 7 < hour < 17 else 0.0
            yield f"{day} {hour:02d}:00,{warm:.1f},{min(99.0, max(5.0, damp)):.1f},{light:.0f}"
