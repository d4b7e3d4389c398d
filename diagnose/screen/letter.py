"""The letter command: one letter to a card or JSON, or many letters to JSON lines."""

from __future__ import annotations

import datetime as dt
import json
import sys
from pathlib import Path

from diagnose.intake.letter_files import LetterLine, LineFault, decode_letter, read_letter, read_letter_lines
from diagnose.problems import InputError
from diagnose.screen.as_json import as_json, as_plain
from diagnose.screen.options import read_date
from diagnose.workbench import CaseRequest, Workbench

__all__ = ["answer_letter", "answer_lines", "options"]


def options(records: Path | None, plant: str | None, date: str | None, group: str | None, stage: str | None,
            medium: str | None, date_order: str | None) -> CaseRequest:
    """What the command line says of a case besides its letter. Raises InputError."""
    return CaseRequest(date=read_date(date, dt.date.today()), group=group or "", stage=stage or "",
                       medium=medium or "", records=records, plant=plant or "", date_order=date_order or "")


def answer_letter(file: str | None, request: CaseRequest, *, json_wanted: bool) -> None:
    """Read the letter from a file or standard input and print the answer."""
    from_stdin = file in (None, "-")
    text = decode_letter(sys.stdin.buffer, "standard input") if from_stdin else read_letter(Path(str(file)))
    bench = Workbench.open()
    result = bench.answer(bench.case(text, request))
    if json_wanted:
        print(as_json(result))
    else:
        from diagnose.screen.card import show
        from diagnose.screen.console import console
        show(console(), result)


def answer_lines(path: Path, date: str | None) -> None:
    """Answer every letter of a file, one JSON object a line, in the same order."""
    today = read_date(date, dt.date.today())
    lines = read_letter_lines(path)
    bench = Workbench.open()
    for line in lines:
        print(json.dumps(_answer_line(bench, line, path, today), ensure_ascii=False), flush=False)


def _answer_line(bench: Workbench, line: LetterLine | LineFault, path: Path, today: dt.date) -> dict[str, object]:
    if isinstance(line, LineFault):
        return {"id": line.id, "error": line.error}
    records = path.parent / line.records if line.records else None
    request = CaseRequest(date=line.date or today, group=line.group or "", stage=line.stage or "",
                          medium=line.medium or "", records=records, plant=line.plant or "")
    try:
        result = bench.answer(bench.case(line.letter, request))
    except InputError as error:
        return {"id": line.id, "error": "; ".join(str(problem) for problem in error.problems)}
    return {"id": line.id, **as_plain(result)}
