"""Scores of the program on labelled letters and on published symptom-to-cause rows.

Run ``python -m tests.measure.scores`` for the lines of DEVELOPERS.md; ``-v`` adds one line a letter.
"""

from __future__ import annotations

import datetime as dt
import json
import math
import sys
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml

from diagnose.model.result import Result
from diagnose.workbench import CaseRequest, Workbench

__all__ = ["Labelled", "Scored", "answer_all", "development_letters", "invented_letters", "line", "published_rows",
           "summary", "terse_rows"]

DATA = Path(__file__).parent.parent / "data"
DAY = dt.date(2026, 3, 2)


@dataclass(frozen=True, slots=True)
class Labelled:
    """A text with the causes an expert or a publication names."""

    id: str
    text: str
    causes: tuple[str, ...]
    together: bool = False
    trusted: bool = True


@dataclass(frozen=True, slots=True)
class Scored:
    """A labelled text with the program's result."""

    labelled: Labelled
    result: Result

    @property
    def ranked(self) -> list[str]:
        """Cause ids, likeliest first."""
        return [cause.cause for cause in self.result.causes]

    def among(self, count: int) -> bool:
        """Whether one of the right causes is among the first so many."""
        return bool(set(self.ranked[:count]) & set(self.labelled.causes))


def development_letters() -> list[Labelled]:
    """The 75 development letters (growers' questions retold, with an expert's answer)."""
    lines = (DATA / "letters_dev.jsonl").read_text(encoding="utf-8").splitlines()
    entries = [json.loads(line) for line in lines if line]
    return [Labelled(e["id"], e["letter"], tuple(e["causes"]), bool(e.get("together")), bool(e["agree"]))
            for e in entries]


def invented_letters(half: str, file: str = "letters_invented") -> list[Labelled]:
    """Letters invented by somebody who did not know the reader: the half "tune" was looked at, "hold" was not.

    ``letters_second`` is by another writer, written later, and rich in comparisons; ``letters_third`` by two more.
    """
    lines = (DATA / f"{file}.jsonl").read_text(encoding="utf-8").splitlines()
    entries = [entry for line in lines if line and (entry := json.loads(line))["half"] == half]
    return [Labelled(e["id"], e["letter"], tuple(e["causes"]), bool(e.get("together"))) for e in entries]


def published_rows() -> list[Labelled]:
    """The published rows as terse texts: their signs, then what the publication ties to them."""
    rows = yaml.safe_load((DATA / "published_rows.yaml").read_text(encoding="utf-8"))["rows"]
    return [Labelled(row["id"], _row_text(row), (_accepted(row),)) for row in rows]


def terse_rows(half: str) -> list[Labelled]:
    """Terse texts after other publications, made before the reader knew the style: "tune" was looked at, "hold" not."""
    rows = yaml.safe_load((DATA / "terse_rows.yaml").read_text(encoding="utf-8"))["rows"]
    return [Labelled(row["id"], _row_text(row), (row["cause"],)) for row in rows if row["half"] == half]


def _row_text(row: dict[str, Any]) -> str:
    context = row.get("context") or {}
    genus = f"{context['genus']}. " if "genus" in context else ""
    rest = "; ".join(str(value) for key, value in context.items() if key != "genus")
    return f"{genus}{'; '.join(row['signs'])}. {rest}".strip()


def _accepted(row: dict[str, Any]) -> str:
    """The row's cause; a finer label named in its note ("other: orchid weevil") goes before the coarse one."""
    note = str(row.get("note", "")).lower()
    if note.startswith("other:") and "weevil" in note:
        return "weevil"
    if note.startswith("other:") and "midge" in note:
        return "blossom_midge"
    return str(row["cause"]).removeprefix("other:")


def answer_all(bench: Workbench, labelled: Iterable[Labelled]) -> list[Scored]:
    """The program's result for each text, as of one fixed day."""
    request = CaseRequest(date=DAY)
    return [Scored(entry, bench.answer(bench.case(entry.text, request))) for entry in labelled]


def summary(bench: Workbench, scored: list[Scored]) -> dict[str, float]:
    """Shares and means over the scored texts; a share of nothing is NaN."""
    harmless = {cause.id for cause in bench.base.causes.values() if cause.kind == "normal"}
    well = [s for s in scored if set(s.labelled.causes) <= harmless]
    sick = [s for s in scored if not set(s.labelled.causes) & harmless]
    pairs = [s for s in scored if s.labelled.together and len(s.labelled.causes) == 2]
    firsts = [(s.result.causes[0].probability if s.result.causes else 0.0, s.among(1)) for s in scored]
    rate = _mean(right for _, right in firsts)
    brier = _mean((probability - right) ** 2 for probability, right in firsts)
    return {
        "texts": len(scored),
        "first": rate,
        "among three": _mean(s.among(3) for s in scored),
        "harmless seen": _mean(bool(s.ranked) and s.ranked[0] in harmless for s in well),
        "sick called harmless": _mean(bool(s.ranked) and s.ranked[0] in harmless for s in sick),
        "both of two": _mean(set(s.labelled.causes) <= set(s.result.best_explanation) for s in pairs),
        "stated for the first": _mean(probability for probability, _ in firsts),
        "Brier skill": 1.0 - brier / (rate * (1.0 - rate)) if 0.0 < rate < 1.0 else math.nan,
        "nothing understood": _mean(not s.ranked for s in scored),
    }


def _mean(values: Iterable[float]) -> float:
    found = list(values)
    return sum(found) / len(found) if found else math.nan


def line(title: str, figures: dict[str, float]) -> str:
    """The figures in one line."""
    shown = "  ".join(f"{name} {value:.3g}" for name, value in figures.items())
    return f"{title}: {shown}"


def main(arguments: list[str]) -> None:
    """Print the scores."""
    bench = Workbench.open()
    sets = {"development letters": development_letters(), "invented letters, held back": invented_letters("hold"),
            "second writer, held back": invented_letters("hold", "letters_second"),
            "two more writers, held back": invented_letters("hold", "letters_third"),
            "published rows": published_rows(), "terse rows, looked at": terse_rows("tune"),
            "terse rows, held back": terse_rows("hold")}
    for title, texts in sets.items():
        scored = answer_all(bench, texts)
        print(line(title, summary(bench, scored)))
        if "-v" in arguments:
            for entry in scored:
                _print_entry(entry)


def _print_entry(entry: Scored) -> None:
    mark = "1" if entry.among(1) else "3" if entry.among(3) else "-"
    ranked = ", ".join(f"{c.cause} {c.probability:.2f}" for c in entry.result.causes[:4])
    signs = ", ".join(f"{'' if s.state == 'present' else s.state + ' '}{s.sign}"
                      for s in entry.result.understood.signs if s.state != "absent")
    print(f"{mark} {entry.labelled.id} {'/'.join(entry.labelled.causes)} <- {ranked} | {signs} "
          f"| best {'+'.join(entry.result.best_explanation)} nothing {entry.result.nothing_fits:.2f}")


if __name__ == "__main__":
    main(sys.argv[1:])
