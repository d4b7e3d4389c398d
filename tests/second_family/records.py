"""Invented records of one lemon in a pot: its bench, a climate export and a care log."""

from __future__ import annotations

import datetime as dt
import math
from pathlib import Path

__all__ = ["DATE", "PLANT", "write_records"]

DATE = dt.date(2026, 2, 1)
PLANT = "C-1"
DAYS = 60
BENCH = """\
places:
  porch: {{hemisphere: north, latitude: 48.0, indoors: true}}
plants:
  C-1:
    group: lemon_lime
    place: porch
    medium: loam_mix
    container: {{pot_ml: 8000, reservoir_ml: 0}}
    size: bearing
    stage: {stage}
"""


def write_records(folder: Path, *, night_low_c: float, water_every_days: int, stage: str = "resting") -> Path:
    """A records folder up to the date: nights of a warmth, waterings at an interval, a feed six weeks ago."""
    (folder / "climate").mkdir(parents=True)
    (folder / "bench.yaml").write_text(BENCH.format(stage=stage), encoding="utf-8")
    first = DATE - dt.timedelta(DAYS)
    watered = [first + dt.timedelta(day) for day in range(0, DAYS, water_every_days)]
    rows = [f"{day},{PLANT},water,1500,ml," for day in watered] + [f"{DATE - dt.timedelta(42)},{PLANT},feed,150,ppm N,"]
    (folder / "care.csv").write_text("\n".join(["date,plant,action,amount,unit,detail", *rows, ""]), encoding="utf-8")
    hours = [dt.datetime.combine(first, dt.time()) + dt.timedelta(hours=hour) for hour in range(0, DAYS * 24, 2)]
    readings = [f"{hour:%Y-%m-%d %H:%M},{_warmth_c(hour, night_low_c):.1f},55.0" for hour in hours]
    text = "\n".join(["time,temperature C,humidity %", *readings, ""])
    (folder / "climate" / "porch.csv").write_text(text, encoding="utf-8")
    return folder


def _warmth_c(hour: dt.datetime, night_low_c: float) -> float:
    """Coldest at three in the morning, eight degrees warmer in the afternoon."""
    return night_low_c + 4 - 4 * math.cos((hour.hour - 3) / 24 * 2 * math.pi)
