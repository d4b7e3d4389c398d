"""A folder of very many cases, first and again. DIAGNOSE_TEST_CASES says how many (10000: all).

The bounds on time are more than four times what ``python -m tests.measure.benchmarks triage`` measured.
"""

from __future__ import annotations

import json
import os
import resource
import subprocess
import sys
from pathlib import Path

from tests.desk.folders import many_cases

ROOT = Path(__file__).resolve().parents[2]
CASES = int(os.environ.get("DIAGNOSE_TEST_CASES", "600"))
OPEN_CPU_S, FIRST_CPU_S, AGAIN_CPU_S = 30.0, 160.0, 12.0  # the latter two for 10,000 cases


def triage(folder: Path, cache: Path) -> tuple[list[dict[str, object]], float, str]:
    """The cases, the processor seconds used by all processes together, and what was told meanwhile."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    done = subprocess.run([sys.executable, "-m", "diagnose", "triage", str(folder), "--date", "2026-04-30", "--json"],
                          cwd=ROOT, env={**os.environ, "XDG_CACHE_HOME": str(cache)}, capture_output=True, text=True,
                          check=True, timeout=900)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    used = after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime
    return json.loads(done.stdout)["cases"], used, done.stderr


def test_many_cases_in_good_time(tmp_path: Path) -> None:
    """First all, with progress; then, after one changed file, that one. Time is the processors', not the clock's."""
    folder, cache = tmp_path / "cases", tmp_path / "cache"
    folder.mkdir()
    many_cases(folder, CASES)
    first, seconds, told = triage(folder, cache)
    assert len(first) == CASES
    assert f"judged {CASES:,} of {CASES:,} cases" in told
    assert seconds <= OPEN_CPU_S + FIRST_CPU_S * CASES / 10_000
    with (folder / "2030-00077.yaml").open("a", encoding="utf-8") as file:
        file.write("# a word\n")
    again, seconds, told = triage(folder, cache)
    if told == "":  # else the rule base was changed meanwhile, as it may be while one works on it
        assert again == first
        assert seconds <= 3.0 + AGAIN_CPU_S * CASES / 10_000
