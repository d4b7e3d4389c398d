"""The letter command for many letters: a file of JSON lines in, a result object a line out."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from diagnose.intake.letter_lines import LetterLine, LineFault, read_letter_lines
from diagnose.problems import InputError, Where
from diagnose.screen.as_json import fields_of, json_text
from diagnose.screen.options import read_date
from diagnose.workbench import CaseRequest, Workbench

__all__ = ["answer_lines"]

MOST_TOLD = 20  # mistakes of one letter


def answer_lines(path: Path, date: str | None, html: Path | None = None, knowledge: Path | None = None) -> None:
    """Answer every letter of a file, one JSON object a line, in the same order. Raises InputError, as for a page."""
    if html is not None:
        raise InputError.one(Where("--html"), "one-page-one-letter", "A page shows one letter, not a file of letters.",
                             "Leave out --html or --jsonl.")
    today = read_date(date, dt.date.today())
    lines = read_letter_lines(path)
    bench = Workbench.open(knowledge)
    for line in lines:
        print(json_text(_answer_line(bench, line, path, today)))


def _answer_line(bench: Workbench, line: LetterLine | LineFault, path: Path, today: dt.date) -> dict[str, object]:
    if isinstance(line, LineFault):
        return {"id": line.id, "error": line.error}
    records = path.parent / line.records if line.records else None
    request = CaseRequest(date=line.date or today, group=line.group or "", stage=line.stage or "",
                          medium=line.medium or "", records=records, plant=line.plant or "")
    try:
        result = bench.answer(bench.case(line.letter, request))
    except InputError as error:
        return {"id": line.id, "error": "; ".join(str(problem) for problem in error.problems[:MOST_TOLD])}
    return {"id": line.id, **fields_of(result)}
