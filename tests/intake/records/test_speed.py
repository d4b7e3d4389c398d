"""A year of readings by the minute: memory, and no more processor time than would be noticed.

How it compares with merely reading the file is measured by ``python -m tests.measure.benchmarks climate``.
"""

from __future__ import annotations

import resource
import subprocess
import sys
from pathlib import Path

import pytest

from tests.intake.records.folders import write_folder
from tests.measure.benchmarks.climate import MEASURE, year_of_minutes

ROOT = Path(__file__).parents[3]
STATUS = Path("/proc/self/status")
MEMORY = f"print(next(line.split()[1] for line in open('{STATUS}') if line.startswith('VmHWM')))\n"
MOST_MB, MOST_CPU_S = 400, 12.0


@pytest.mark.skipif(not STATUS.exists(), reason="the system does not tell how much memory a process took")
def test_a_year_by_the_minute(tmp_path: Path) -> None:
    """From file to measures in less than 400 MB, and in far less processor time than four times what it takes."""
    write_folder(tmp_path, east_window=year_of_minutes())
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    done = subprocess.run([sys.executable, "-c", MEASURE + MEMORY, str(tmp_path)], cwd=ROOT, check=True,
                          capture_output=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    assert int(done.stdout) / 1024 < MOST_MB
    assert after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime < MOST_CPU_S
