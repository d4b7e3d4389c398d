"""Memory over very many letters in one process: it must stay level."""

from __future__ import annotations

import subprocess
from collections.abc import Iterator
from pathlib import Path

from tests.measure.benchmarks.table import Row
from tests.measure.benchmarks.timing import ROOT, python

__all__ = ["rows"]

LETTERS = """\
import itertools, pathlib, sys
from diagnose.workbench import CaseRequest
from tests.measure.benchmarks.material import bench, letters
from tests.measure.scores import DAY

def resident_kb():
    lines = pathlib.Path("/proc/self/status").read_text().splitlines()
    return int(next(line.split()[1] for line in lines if line.startswith("VmRSS")))

count, texts, request = int(sys.argv[1]), letters(), CaseRequest(date=DAY)
warm_up = 2 * len(texts)
stops = {warm_up, warm_up + count // 2, warm_up + count}
for number, text in enumerate(itertools.islice(itertools.cycle(texts), warm_up + count), 1):
    bench().answer(bench().case(f"{text} This is my letter number {number}.", request))
    if number in stops:
        print(resident_kb())
"""


def rows(quick: bool, place: Path) -> Iterator[Row]:
    """Resident memory after a warm-up of 150 letters, half way and in the end; no two letters are the same."""
    count = 2_000 if quick else 100_000
    if not Path("/proc/self/status").exists():
        yield Row("memory", f"{count:,} letters", remark="left out: the system does not tell how much a process takes")
        return
    told = subprocess.run(python(LETTERS, count), cwd=ROOT, check=True, capture_output=True, text=True)
    start, middle, end = (int(line) / 1024 for line in told.stdout.split())
    yield Row("memory", f"{count:,} letters", remark=f"{start:.1f} MB, half way {middle:.1f} MB, end {end:.1f} MB: "
              f"{(end - start) * 1024 / count:+.3f} kB a letter")
