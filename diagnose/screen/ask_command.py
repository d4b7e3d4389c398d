"""The options of the ask command; what it does is loaded when it is used."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from diagnose.problems import InputError, Where
from diagnose.screen.options import KnowledgeOption

__all__ = ["ask_command"]


def ask_command(
    records: Annotated[Path | None, typer.Option("--records", help="Folder with bench.yaml and logs.")] = None,
    plant: Annotated[str | None, typer.Option("--plant", help="Which plant of bench.yaml.")] = None,
    date: Annotated[str | None, typer.Option("--date", help="Judge as of this day, YYYY-MM-DD.")] = None,
    group: Annotated[str | None, typer.Option("--group", help="Plant group, an id of the rule base.")] = None,
    stage: Annotated[str | None, typer.Option("--stage", help="Stage of growth, an id.")] = None,
    medium: Annotated[str | None, typer.Option("--medium", help="Potting medium, an id.")] = None,
    answers: Annotated[Path | None, typer.Option("--answers", help="YAML file, sign id: yes, no or unsure; asks "
                                                 "nothing.")] = None,
    resume: Annotated[Path | None, typer.Option("--resume", help="Go on with a sequence that was broken off.")] = None,
    plain: Annotated[bool, typer.Option("--plain", help="Whole sentences, no columns: for a screen reader.")] = False,
    json: Annotated[bool, typer.Option("--json", help="Print the result object as JSON.")] = False,
    html: Annotated[Path | None, typer.Option("--html", help="Write the answer to this file, as a page.")] = None,
    date_order: Annotated[str | None, typer.Option("--date-order", help="day-first or month-first, for climate "
                                                   "exports.")] = None,
    knowledge: KnowledgeOption = None,
) -> None:
    """Find the cause by a few questions, the one that tells most first."""
    from diagnose.screen import ask as screen
    from diagnose.screen.ask_ending import AskOutput
    from diagnose.screen.letter import options
    output = AskOutput(json, html, plain)
    if resume is not None:
        if answers is not None or any((records, plant, date, group, stage, medium, date_order)):
            raise InputError.one(Where("--resume"), "resume-alone", "What is resumed has its own options and answers.",
                                 "Leave the others out.")
        screen.resume(resume, output, knowledge)
        return
    request = options(records, plant, date, group, stage, medium, date_order)
    if answers is not None:
        screen.ask_by_file(answers, request, output, knowledge)
    else:
        screen.ask_at_keyboard("", request, output, knowledge)
