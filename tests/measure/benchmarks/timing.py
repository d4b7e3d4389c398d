"""Costs of work in this process and in processes of its own, taken by turns so that a busy machine is fair to all."""

from __future__ import annotations

import os
import resource
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

__all__ = ["ROOT", "Cost", "by_turns", "child", "here", "program", "python"]

ROOT = Path(__file__).resolve().parents[3]
PATIENCE_S = 7200


@dataclass(frozen=True, slots=True)
class Cost:
    """Seconds of all processors used (user and system) and seconds by the clock on the wall."""

    cpu_s: float
    wall_s: float

    def each(self, count: int) -> Cost:
        """The share of one of so many."""
        return Cost(self.cpu_s / count, self.wall_s / count)


def here(work: Callable[[], object]) -> Cost:
    """The cost of work done in this process, all its threads together."""
    wall, cpu = time.perf_counter(), time.process_time()
    work()
    return Cost(time.process_time() - cpu, time.perf_counter() - wall)


def child(command: Sequence[str], cache: Path, output: Path | None = None) -> Cost:
    """The cost of a command. It may keep its byte code and, in ``cache``, its opened rule base.

    Standard output goes to the file ``output``, if one is named. Raises CalledProcessError where the command fails.
    """
    environment = {**os.environ, "XDG_CACHE_HOME": str(cache)}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    before, wall = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
    with (output or Path(os.devnull)).open("wb") as told:
        subprocess.run(command, cwd=ROOT, env=environment, stdout=told, stderr=subprocess.DEVNULL, check=True,
                       timeout=PATIENCE_S)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    cpu_s = after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime
    return Cost(cpu_s, time.perf_counter() - wall)


def python(code: str, *arguments: object) -> list[str]:
    """The command that runs some code."""
    return [sys.executable, "-c", code, *map(str, arguments)]


def program(*arguments: object) -> list[str]:
    """The command that runs the program."""
    return [sys.executable, "-m", "diagnose", *map(str, arguments)]


def by_turns(works: Mapping[str, Callable[[], Cost]], rounds: int) -> dict[str, Cost]:
    """The median cost of each over so many rounds, in each of which every one runs once."""
    found: dict[str, list[Cost]] = {name: [] for name in works}
    for _ in range(rounds):
        for name, work in works.items():
            found[name].append(work())
    return {name: Cost(statistics.median(cost.cpu_s for cost in costs),
                       statistics.median(cost.wall_s for cost in costs)) for name, costs in found.items()}
