"""The letter command: one letter to a card, to JSON or to a page."""

from __future__ import annotations

import datetime as dt
import sys
from pathlib import Path

from diagnose.intake.letter_files import decode_letter, read_letter
from diagnose.problems import InputError, Where
from diagnose.screen.as_json import json_text
from diagnose.screen.options import read_date
from diagnose.workbench import CaseRequest, Workbench

__all__ = ["answer_letter", "ask_about", "options"]


def options(records: Path | None, plant: str | None, date: str | None, group: str | None, stage: str | None,
            medium: str | None, date_order: str | None) -> CaseRequest:
    """What the command line says of a case besides its letter. Raises InputError."""
    return CaseRequest(date=read_date(date, dt.date.today()), group=group or "", stage=stage or "",
                       medium=medium or "", records=records, plant=plant or "", date_order=date_order or "")


def ask_about(file: str | None, request: CaseRequest, *, json_wanted: bool, html: Path | None = None,
              knowledge: Path | None = None) -> None:
    """Go on from a letter with the question sequence. Raises InputError."""
    if file in (None, "-"):
        raise InputError.one(Where("--ask"), "no-keyboard", "A letter on standard input leaves no keyboard to answer.",
                             "Name the file of the letter.")
    from diagnose.screen.ask import ask_at_keyboard
    from diagnose.screen.ask_ending import AskOutput
    ask_at_keyboard(read_letter(Path(str(file))), request, AskOutput(json_wanted, html), knowledge)


def answer_letter(file: str | None, request: CaseRequest, *, json_wanted: bool, html: Path | None = None,
                  knowledge: Path | None = None) -> None:
    """Read the letter from a file or standard input and print the answer, or write it as a page to a file.

    With JSON wanted, standard output carries JSON alone, whether a page is written or not.
    """
    from_stdin = file in (None, "-")
    text = decode_letter(sys.stdin.buffer, "standard input") if from_stdin else read_letter(Path(str(file)))
    bench = Workbench.open(knowledge)
    opened = bench.opened(text, request)
    if json_wanted and html is None:
        print(json_text(bench.answer(opened.case)))
        return
    report = bench.report(text, opened.case, opened.records)
    if html is not None:
        from diagnose.screen.html.letter_page import letter_page
        from diagnose.screen.page import write_page
        write_page(html, letter_page(bench.base, report))
        print(json_text(report.result) if json_wanted else f"Written: {html}")
    else:
        from diagnose.screen.card import show
        from diagnose.screen.console import console
        from diagnose.screen.small_lines import levels_of, small_lines
        screen = console()
        show(screen, report.result, *small_lines(report, levels_of(screen)))
