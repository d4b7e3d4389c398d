"""The options of the commands for the desk; what they do is loaded when they are used."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Annotated, Any

import typer

from diagnose.screen.options import KnowledgeOption

__all__ = ["outcome_command", "triage_command"]


def _list(help_: str, *names: str, **more: Any) -> Any:
    return typer.Option(*names, help=help_, rich_help_panel="The list", **more)


def _one(help_: str, *names: str, **more: Any) -> Any:
    return typer.Option(*names, help=help_, rich_help_panel="One case", **more)


def _club(help_: str, *names: str, **more: Any) -> Any:
    return typer.Option(*names, help=help_, rich_help_panel="The club", **more)


def triage_command(
    folder: Annotated[Path, typer.Argument(help="The folder of case files.")],
    date: Annotated[str | None, typer.Option(help="Today, YYYY-MM-DD; by default the real one.")] = None,
    json: Annotated[bool, typer.Option("--json", help="Print JSON.")] = False,
    html: Annotated[Path | None, typer.Option(help="Write a page to this file instead of printing.")] = None,
    state: Annotated[str, _list("new, asked, answered, closed, open (new or asked) or all.")] = "",
    taken_by: Annotated[str, _list("A volunteer's code, or nobody.")] = "",
    urgency: Annotated[str, _list("today, 'this week', soon or none.")] = "",
    cause: Annotated[str, _list("Only where this cause is possible.")] = "",
    group: Annotated[str, _list("Only this group of plants.")] = "",
    page: Annotated[int, _list("Which page.")] = 1,
    per_page: Annotated[int, _list("Cases on a page.")] = 15,
    due: Annotated[bool, _list("What is to be looked at again, by date.", "--due")] = False,
    case: Annotated[str, _one("Show this case.", metavar="ID")] = "",
    reply: Annotated[bool, _one("Draft a reply.", "--reply")] = False,
    ask_back: Annotated[bool, _one("Draft the questions to ask back instead.", "--ask-back")] = False,
    edit: Annotated[bool, _one("Open the draft in your editor.", "--edit")] = False,
    do: Annotated[str, _one("take, hand-back, ask, answer, close or reopen.")] = "",
    by: Annotated[str, _one("Your code, such as V-2.", metavar="CODE")] = "",
    note: Annotated[str, _one("A word for the other volunteers.")] = "",
    look_again: Annotated[str, _one("When to look again.", metavar="DATE")] = "",
    take_over: Annotated[bool, _one("Take it over from another volunteer.", "--take-over")] = False,
    report: Annotated[bool, _club("How right we were, and how often each cause.", "--report")] = False,
    frequencies: Annotated[str, _club("club or book: which frequencies judgements start from.")] = "",
    add: Annotated[Path | None, _club("Make cases of letters: a file, a folder or -.", metavar="LETTERS")] = None,
    knowledge: KnowledgeOption = None,
) -> None:
    """The volunteers' list over a folder of case files: worst first; one case; replies; outcomes."""
    from diagnose.screen.options import read_date
    from diagnose.screen.triage import Deeds, Request, triage
    from diagnose.screen.triage_choice import Choice
    deeds = Deeds(do, by, note, look_again, take_over, reply, ask_back, edit)
    choice = Choice(state, taken_by, urgency, cause, group)
    triage(Request(folder, read_date(date, dt.date.today()), json, html, choice, page, per_page, case, deeds, due,
                   report, frequencies, add, knowledge))


def outcome_command(
    case_file: Annotated[Path, typer.Argument(metavar="CASE_FILE", help="The file of the case.")],
    cause: Annotated[str, typer.Option(metavar="ID", help="What it proved to be, an id of the rule base.")],
    result: Annotated[str, typer.Option(metavar="WORD", help="How the plant did: better, same, worse or lost.")],
    on: Annotated[str, typer.Option(metavar="DATE", help="When that was known, YYYY-MM-DD.")],
    by: Annotated[str, typer.Option(metavar="CODE", help="Who records it.")] = "",
    knowledge: KnowledgeOption = None,
) -> None:
    """Record what the cause proved to be and how the plant did."""
    from diagnose.screen.outcome import record_outcome
    record_outcome(case_file, cause, result, on, by, knowledge)
