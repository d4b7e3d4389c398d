"""A letter answered by a program that has just been started, beside merely loading its libraries."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from pathlib import Path

from tests.measure.benchmarks.material import half_a_year, letters
from tests.measure.benchmarks.table import Row
from tests.measure.benchmarks.timing import by_turns, child, program, python

__all__ = ["rows"]

LIBRARIES = "import typer, pydantic, yaml, rapidfuzz, durable.lang"


def rows(quick: bool, place: Path) -> Iterator[Row]:
    """Without records and with half a year of them; the opened rule base is kept from a first run."""
    letter, cache = place / "letter.txt", place / "cache"
    letter.write_text(letters()[0], encoding="utf-8")
    records = half_a_year(place / "records")
    plain = program("letter", letter, "--json", "--date", "2026-03-02")
    logged = [*plain, "--records", str(records), "--plant", "P-07"]
    works = {name: partial(child, command, cache) for name, command in
             (("libraries", python(LIBRARIES)), ("plain", plain), ("logged", logged))}
    by_turns(works, 1)
    costs = by_turns(works, 5 if quick else 15)
    for name, what in (("plain", "`diagnose letter FILE --json`"),
                       ("logged", "the same with half a year of half-hourly climate")):
        yield Row("start", what, costs[name], f"`{LIBRARIES}`", costs["libraries"])
