"""How a question sequence ends: the card, what is still worth checking, when to look again, and a case file."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from diagnose.intake.new_case import new_case_text
from diagnose.model.facts import Case
from diagnose.model.report import Report
from diagnose.problems import InputError
from diagnose.safe_write import create_file
from diagnose.screen.as_json import json_text
from diagnose.screen.talk import Talk
from diagnose.workbench import OpenedCase, Workbench

__all__ = ["AskOutput", "finish", "offer_to_save"]

_CASE_ID = re.compile(r"[^\W_][\w.+ -]{0,59}")


@dataclass(frozen=True, slots=True)
class AskOutput:
    """How the answer is given: as JSON, as a page, on a plain screen."""

    json: bool = False
    html: Path | None = None
    plain: bool = False


def finish(talk: Talk, bench: Workbench, letter: str, opened: OpenedCase, output: AskOutput) -> None:
    """Give the answer. With JSON wanted, standard output carries JSON alone."""
    report = bench.report(letter, opened.case, opened.records)
    if output.html is not None:
        from diagnose.screen.html.letter_page import letter_page
        from diagnose.screen.page import write_page
        write_page(output.html, letter_page(bench.base, report))
        talk.say(f"Written: {output.html}")
    if output.json:
        print(json_text(report.result))
        return
    _show(talk, report)
    _say_next(talk, bench, report, opened.case.date)


def _show(talk: Talk, report: Report) -> None:
    if talk.plain:
        from diagnose.screen.plain_card import plain_card
        for paragraph in plain_card(report.result):
            talk.say(paragraph)
        return
    from diagnose.screen.card import show
    from diagnose.screen.console import console
    from diagnose.screen.small_lines import levels_of, small_lines
    screen = console()
    show(screen, report.result, *small_lines(report, levels_of(screen)))


def _say_next(talk: Talk, bench: Workbench, report: Report, date: dt.date) -> None:
    """The one check still worth doing, and when to look again."""
    result = report.result
    if not result.causes:
        return
    first = result.causes[0]
    asked = [question.question for question in result.ask_next]
    check = [*first.settle, *asked] if result.verdict == "decided" else [*asked, *first.settle]
    if check:
        talk.say(f"Still worth checking: {check[0]}")
    days = bench.base.causes[first.cause].look_again_days
    if days:
        talk.say(f"Look again in {days} days, on {(date + dt.timedelta(days)).isoformat()}.")


def offer_to_save(talk: Talk, case: Case, letter: str, told: Sequence[str], records: tuple[Path, str] | None) -> bool:
    """Offer a case file; False where the input ended before the grower said yes or no."""
    if not case.signs and not letter:
        return True
    talk.say()
    talk.say("To keep this as a case file, type a name for it; press Enter to leave it.")
    while True:
        line = talk.ask("File name: ")
        if line is None:
            return False
        if not line or line.casefold() in ("no", "stop"):
            return True
        path = _path_of(line)
        if path is None:
            talk.say("This does not do for a name. Use letters, digits, dots and dashes.")
        elif _saved(talk, path, case, letter, told, records):
            return True


def _path_of(typed: str) -> Path | None:
    """The file that is meant, with its ending; None where a case can have no such name."""
    try:
        path = Path(typed.replace("\0", "?")).expanduser()
        path = path if path.suffix in (".yaml", ".yml") else path.with_name(f"{path.name}.yaml")
    except (ValueError, RuntimeError):  # no name at all, or the home of somebody who has none
        return None
    return path if _CASE_ID.fullmatch(path.stem) else None


def _saved(talk: Talk, path: Path, case: Case, letter: str, told: Sequence[str],
           records: tuple[Path, str] | None) -> bool:
    try:
        text = new_case_text(path.stem, case, letter, told, records, path.parent)
    except ValueError:
        talk.say("The records lie outside that folder, so the case file does not name them.")
        text = new_case_text(path.stem, case, letter, told, None, path.parent)
    try:
        if create_file(path, text.encode()):
            talk.say(f"Written: {path}")
            return True
        talk.say("There is a file of that name already. Type another name.")
    except (InputError, OSError) as error:
        words = error.problems[0].words if isinstance(error, InputError) else str(error.strerror)
        talk.say(f"{words} Type another name.")
    return False
