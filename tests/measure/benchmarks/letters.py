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
    """One letter of 1, 10 and 100 kB, each beside the shortest: reading grows with it, the answer with its signs."""
    request, rounds = CaseRequest(date=DAY), 3 if quick else 7
    least: dict[str, Cost] = {}
    for size in (1, 10, 100):
        text = letter_of(size)
        case = bench().case(text, request)
        standing = bench().stand(case)
        signs = f"{len(standing.observed.present)} signs there{', approximate' if standing.approximate else ''}"
        costs = by_turns({"reading": partial(here, partial(bench().case, text, request)),
                          "answering": partial(here, partial(bench().answer, case))}, rounds)
        least = least or costs
        for what, cost in costs.items():
            yield Row("length", f"{what} a letter of {size} kB", cost, "1 kB", least[what],
                      signs if what == "answering" else f"{cost.each(size).cpu_s * 1e3:.3g} ms a kB")


def many_rows(quick: bool, place: Path) -> Iterator[Row]:
    """A letter of 100, 1,000 and 10,000, beside a letter of 100; the last is long enough for one round to do."""
    counts = (100, 300, 1000) if quick else (100, 1000, 10_000)
    _lines(place, 1)
    works = {count: partial(_lines, place, count) for count in counts}
    costs = by_turns({str(count): works[count] for count in counts[:2]}, 3) | {str(counts[2]): works[counts[2]]()}
    least = costs[str(counts[0])].each(counts[0])
    for count in counts:
        yield Row("many", f"a letter of {count:,}, start included", costs[str(count)].each(count),
                  f"a letter of {counts[0]}", least)
