"""A folder of very many case files, listed for the first time and again."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from pathlib import Path

from tests.desk.folders import CLUB, many_cases
from tests.measure.benchmarks.table import Row
from tests.measure.benchmarks.timing import by_turns, child, program

__all__ = ["rows"]


def rows(quick: bool, place: Path) -> Iterator[Row]:
    """The first listing judges every case; the second finds one changed file."""
    count = 600 if quick else 10_000
    folder, cache, told = place / "cases", place / "cache", place / "list.json"
    folder.mkdir()
    many_cases(folder, count)
    child(program("letter", CLUB.parent / "letters" / "buds.txt", "--json"), cache)  # opens and keeps the rule base
    command = program("triage", folder, "--date", "2026-04-30", "--json")
    first = child(command, cache, told)
    with (folder / "2030-00077.yaml").open("a", encoding="utf-8") as file:
        file.write("# a word\n")
    again = by_turns({"again": partial(child, command, cache, told)}, 3)["again"]
    yield Row("triage", f"{count:,} case files, first listing", first,
              remark=f"{first.cpu_s / count * 1e3:.1f} ms a case")
    yield Row("triage", f"{count:,} case files, listed again", again, "first listing", first)
