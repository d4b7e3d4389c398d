"""What the benchmarks work on: the test letters, facts taken from them, letters of any length, records."""

from __future__ import annotations

import json
import random
from collections.abc import Mapping, Sequence
from functools import cache
from itertools import cycle, islice
from pathlib import Path

from diagnose.model.facts import Case
from diagnose.reason.standing import UNKNOWN_GROUP
from diagnose.reason.symbols import known_symbols
from diagnose.workbench import CaseRequest, Workbench
from tests.intake.records.folders import log, log_rows, write_folder
from tests.measure.scores import DAY, development_letters

__all__ = ["Facts", "bench", "cases", "half_a_year", "letter_facts", "letter_of", "letters", "mixed_facts",
           "write_lines"]

Facts = Mapping[str, float]  # true symbols with their certainty


@cache
def bench() -> Workbench:
    """The project's rule base, opened once."""
    return Workbench.open()


def letters() -> list[str]:
    """The texts of the development letters."""
    return [entry.text for entry in development_letters()]


@cache
def cases() -> tuple[Case, ...]:
    """The facts of the letters."""
    return tuple(bench().case(text, CaseRequest(date=DAY)) for text in letters())


def letter_facts() -> list[Facts]:
    """The symbols that are true of each letter."""
    base, tests = bench().base, bench().rulebook.tests
    found = [known_symbols(case, base.groups.get(case.plant.group or UNKNOWN_GROUP), tests) for case in cases()]
    return [{symbol: fact.certainty for symbol, fact in known.items()} for known in found]


def mixed_facts(of: Sequence[Facts], count: int, seed: int = 1) -> list[Facts]:
    """As many symbols as some letter has, drawn at random from those of all letters together."""
    draw = random.Random(seed)
    pool = sorted({(symbol, certainty) for facts in of for symbol, certainty in facts.items()})
    return [dict(draw.sample(pool, min(len(pool), len(draw.choice(of))))) for _ in range(count)]


def letter_of(size_kb: float) -> str:
    """A letter of about so many kilobytes: the letters one after the other, from the first again where they end."""
    text = "\n\n".join(letters())
    size = round(size_kb * 1000)
    return (text * (size // len(text) + 1))[:size]


def write_lines(path: Path, count: int) -> Path:
    """A file of so many letters, one JSON object a line, each with a sentence of its own."""
    texts = islice(cycle(letters()), count)
    lines = [json.dumps({"id": str(number), "letter": f"This is my letter number {number}. {text}"})
             for number, text in enumerate(texts)]
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def half_a_year(folder: Path) -> Path:
    """A records folder with half a year of readings every half hour."""
    return write_folder(folder, east_window=log(log_rows(183, 30)))
