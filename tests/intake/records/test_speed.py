"""A year of readings by the minute: time against merely reading the file, and memory."""

from __future__ import annotations

import datetime as dt
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.intake.records.folders import DATE, write_folder

ROWS = 525_600
ROOT = Path(__file__).parents[3]
STATUS = Path("/proc/self/status")
MEMORY = f"print(next(line.split()[1] for line in open('{STATUS}') if line.startswith('VmHWM')))\n"
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


def run(code: str, folder: Path) -> tuple[float, float]:
    """Seconds that a program takes, and the megabytes of memory that it says it took at most."""
    start = time.perf_counter()
    done = subprocess.run([sys.executable, "-c", code + MEMORY, str(folder)], cwd=ROOT, check=True, capture_output=True)
    return time.perf_counter() - start, int(done.stdout) / 1024


@pytest.mark.skipif(not STATUS.exists(), reason="the system does not tell how much memory a process took")
def test_a_year_by_the_minute(tmp_path: Path) -> None:
    """From file to measures takes at most three times what merely reading the file takes, in less than 400 MB."""
    start = dt.datetime.combine(DATE, dt.time(23, 59)) - dt.timedelta(minutes=ROWS - 1)
    rows = [f"{start + dt.timedelta(minutes=at)},{15 + at % 1440 / 120:.2f},{70 - at % 1440 / 60:.1f},{at % 1440 * 5}"
            for at in range(ROWS)]
    write_folder(tmp_path, east_window="\n".join(["time,temp_c,rh,lux", *rows]))
    merely = min(run(MERELY_READ, tmp_path)[0] for _ in range(3))
    whole = [run(MEASURE, tmp_path) for _ in range(3)]
    assert min(seconds for seconds, _ in whole) <= 3 * merely
    assert max(megabytes for _, megabytes in whole) < 400
