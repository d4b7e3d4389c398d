"""Many letters in one run: how many a second, and whether the thousandth costs what the first does."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from pathlib import Path

from diagnose.workbench import CaseRequest
from tests.measure.benchmarks.material import bench, letter_of, write_lines
from tests.measure.benchmarks.table import Row
from tests.measure.benchmarks.timing import Cost, by_turns, child, here, program
from tests.measure.scores import DAY

__all__ = ["length_rows", "many_rows", "rows"]


def _lines(place: Path, count: int) -> Cost:
    """The cost of answering so many letters by one command, its start included."""
    file, answers = write_lines(place / f"letters{count}.jsonl", count), place / "answers.jsonl"
    cost = child(program("letter", "--jsonl", file, "--date", "2026-03-02"), place / "cache", answers)
    with answers.open(encoding="utf-8") as told:
        assert sum(1 for line in told if '"verdict"' in line) == count, "a letter has no answer"
    return cost


def rows(quick: bool, place: Path) -> Iterator[Row]:
    """Letters a second of one processor, the questions to ask next included; what the start costs is taken off."""
    count = 300 if quick else 1000
    _lines(place, 1)
    costs = by_turns({"one": partial(_lines, place, 1), "many": partial(_lines, place, count)}, 3 if quick else 5)
    each = Cost(costs["many"].cpu_s - costs["one"].cpu_s, costs["many"].wall_s - costs["one"].wall_s).each(count - 1)
    yield Row("letters", f"a letter of {count:,} with `--jsonl`", each,
              remark=f"{1 / each.cpu_s:.0f} letters a second of one processor")


def length_rows(quick: bool, place: Path) -> Iterator[Row]:
    """One letter of 1, 10 and 100 kB, read and answered; each beside the shortest, a kilobyte."""
    sizes = (1, 10, 100)

    def work(size: int) -> None:
        bench().answer(bench().case(letter_of(size), CaseRequest(date=DAY)))

    works = {str(size): partial(here, partial(work, size)) for size in sizes}
    by_turns(works, 1)
    costs = by_turns(works, 3 if quick else 7)
    least = costs[str(sizes[0])]
    for size in sizes:
        yield Row("length", f"a letter of {size} kB", costs[str(size)], "1 kB", least,
                  f"{costs[str(size)].cpu_s / least.cpu_s / size:.2f} times as much a kilobyte")


def many_rows(quick: bool, place: Path) -> Iterator[Row]:
    """A letter of 100, 1,000 and 10,000, beside a letter of 100."""
    counts = (100, 300, 1000) if quick else (100, 1000, 10_000)
    _lines(place, 1)
    costs = by_turns({str(count): partial(_lines, place, count) for count in counts}, 1 if quick else 3)
    least = costs[str(counts[0])].each(counts[0])
    for count in counts:
        yield Row("many", f"a letter of {count:,}, start included", costs[str(count)].each(count),
                  f"a letter of {counts[0]}", least)
