"""Climate exports from file to measures, beside polars merely reading the file."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from functools import partial
from pathlib import Path

from tests.intake.records.folders import DATE, log, log_rows, write_folder
from tests.measure.benchmarks.table import Row
from tests.measure.benchmarks.timing import by_turns, child, python

__all__ = ["MEASURE", "rows", "year_of_minutes"]

MERELY_READ = "import sys, polars\npolars.read_csv(sys.argv[1] + '/climate/east-window.csv')\n"
MEASURE = """\
import sys, datetime, pathlib
from diagnose.intake.records import measure_case, read_records, summary_measures
from diagnose.intake.records.climate_measures import CLIMATE_MEASURES
from diagnose.model.facts import MeasureRequest
records = read_records(pathlib.Path(sys.argv[1]), plant="P-07", date=datetime.date(2026, 3, 2))
asked = [MeasureRequest(measure, days) for measure in CLIMATE_MEASURES for days in (7, 30, 90)]
found, _, _ = measure_case(records, asked, {"night_low_c": 15, "day_high_c": 24, "bloom_cue_night_c": 16})
assert len(found) == len(asked) and len(summary_measures(records)[0]) == 8
"""
MINUTES = 525_600


def year_of_minutes() -> str:
    """An invented export of a year, a reading a minute."""
    start = dt.datetime.combine(DATE, dt.time(23, 59)) - dt.timedelta(minutes=MINUTES - 1)
    rows = (f"{start + dt.timedelta(minutes=at)},{15 + at % 1440 / 120:.2f},{70 - at % 1440 / 60:.1f},{at % 1440 * 5}"
            for at in range(MINUTES))
    return log(rows)


def rows(quick: bool, place: Path) -> Iterator[Row]:
    """Half a year of half hours, a year of minutes; each in a process of its own, its start included."""
    exports = {"half a year, every half hour": log(log_rows(183, 30)), "a year, every minute": year_of_minutes()}
    for what, text in exports.items():
        folder = write_folder(place / what.split(",")[0].replace(" ", "-"), east_window=text)
        works = {"own": partial(child, python(MEASURE, folder), place / "cache"),
                 "read": partial(child, python(MERELY_READ, folder), place / "cache")}
        by_turns(works, 1)
        costs = by_turns(works, 3 if quick else 9)
        yield Row("climate", f"{what}: file to measures", costs["own"], "polars reads the file", costs["read"],
                  f"{costs['own'].wall_s / costs['read'].wall_s:.1f} times by the clock; aim: at most 3")
