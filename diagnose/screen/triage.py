"""The triage command: the list of cases, one case, replies, what is due, the report, and taking in letters."""

from __future__ import annotations

import datetime as dt
import sys
from collections.abc import Callable
from dataclasses import field, replace
from pathlib import Path

from diagnose.desk.desk import Desk
from diagnose.frozen import frozen
from diagnose.knowledge.desk import read_wording
from diagnose.model.desk import Wording
from diagnose.problems import InputError, Where
from diagnose.screen.console import console
from diagnose.screen.notices import NOTICE_TEXTS, notices
from diagnose.screen.page import write_page
from diagnose.screen.triage_choice import Choice, page_of
from diagnose.screen.triage_pages import case_page, list_page, report_page

__all__ = ["Deeds", "Request", "triage"]

WATCHED_FROM = 60  # so many cases to judge, and progress is shown
EVERY = 1000  # where the terminal cannot be written over, progress is a line each so many cases


@frozen
class Deeds:
    """What a volunteer does with one case; empty text where nothing is asked for."""

    do: str = ""
    by: str = ""
    note: str = ""
    look_again: str = ""
    take_over: bool = False
    reply: bool = False
    ask_back: bool = False
    edit: bool = False


@frozen
class Request:
    """What the command line asks for."""

    folder: Path
    today: dt.date
    json: bool = False
    html: Path | None = None
    choice: Choice = field(default_factory=Choice)
    page: int = 1
    per_page: int = 15
    case: str = ""
    deeds: Deeds = field(default_factory=Deeds)
    due: bool = False
    report: bool = False
    frequencies: str = ""
    add: Path | None = None
    knowledge: Path | None = None


def triage(request: Request) -> None:
    """Do what is asked for and print it. Raises InputError."""
    _check(request)
    desk = Desk.open(request.folder, request.today, request.knowledge)
    request.choice.check(desk.base)
    if request.add is not None:
        from diagnose.screen.triage_intake import take_in
        take_in(desk, request.add, console())
    elif request.case and (request.deeds.do or request.deeds.reply or request.deeds.ask_back):
        from diagnose.screen.triage_deeds import act
        act(desk, request.case, request.deeds, console())
    elif request.case:
        _one(desk, request)
    elif request.frequencies:
        _frequencies(desk, request)
    elif request.report:
        _report(desk, request)
    else:
        _list(desk, request)


def _check(request: Request) -> None:
    if request.deeds.do and not request.case:
        raise InputError.one(Where("--do"), "no-case-named", "Name the case with --case ID.")
    if (request.deeds.reply or request.deeds.ask_back) and not request.case:
        raise InputError.one(Where("--reply"), "no-case-named", "Name the case with --case ID.")
    if request.frequencies not in ("", "club", "book"):
        raise InputError.one(Where("--frequencies"), "unknown-word", f'"{request.frequencies}" is not known here.',
                             "Write club or book.")


def _list(desk: Desk, request: Request) -> None:
    cases = desk.cases(_progress())
    possible = desk.base.scales.grade["possible"]
    choice = replace(request.choice, state=request.choice.state or ("all" if request.json else "open"))
    chosen = [ranked for ranked in desk.ranked(cases) if choice.takes(ranked, possible)]
    outbreaks, due = desk.outbreaks(cases), desk.due(cases)
    if request.json:
        from diagnose.screen.triage_json import list_as_json
        print(list_as_json(desk.base, chosen, outbreaks, due))
        return
    wording, window_days = _wording(desk, "notice", NOTICE_TEXTS), desk.judge.rules.outbreak.window_days
    found = notices(desk.base, wording, outbreaks, window_days)
    if request.html is not None:
        write_page(request.html, list_page(desk.base, cases, chosen, found, due, desk.today))
        print(f"Written: {request.html}")
        return
    from diagnose.screen.triage_list import show_due, show_list, show_notices
    screen = console()
    if request.due:
        show_due(screen, due, desk.today)
        return
    page = page_of(chosen, request.page, request.per_page)
    if page.number == 1:
        show_notices(screen, found)
    show_list(screen, desk.base, cases, due, page)


def _one(desk: Desk, request: Request) -> None:
    judged = desk.one(request.case)
    if request.json:
        from diagnose.screen.as_json import json_text
        print(json_text(judged.result))
        return
    cases = desk.cases(_progress())
    earlier, order = desk.earlier(judged.case_file.file, cases), desk.judge.rules.order
    if request.html is not None:
        write_page(request.html, case_page(desk.base, order, judged, earlier))
        print(f"Written: {request.html}")
        return
    from diagnose.screen.triage_case import show_case
    show_case(console(), desk.base, order, judged, earlier)


def _report(desk: Desk, request: Request) -> None:
    report = desk.report(desk.cases(_progress()))
    if request.html is not None:
        write_page(request.html, report_page(desk.base, report, desk.club))
        print(f"Written: {request.html}")
    elif request.json:
        from diagnose.screen.as_json import json_text
        print(json_text(report))
    else:
        from diagnose.screen.triage_report import show_report
        show_report(console(), desk.base, report, desk.club)


def _frequencies(desk: Desk, request: Request) -> None:
    from diagnose.screen.triage_report import club_words
    club, warning = desk.use_club(desk.cases(_progress())) if request.frequencies == "club" else desk.use_book()
    print(club_words(club))
    if warning:
        print(warning, file=sys.stderr)


def _wording(desk: Desk, name: str, needed: tuple[str, ...]) -> Wording:
    return read_wording(desk.judge.opener.knowledge, name, needed)


def _progress() -> Callable[[int, int], None]:
    """Shows on standard error how many cases are judged; nothing for a few."""
    last = [0]

    def show(done: int, total: int) -> None:
        if total < WATCHED_FROM:
            return
        if sys.stderr.isatty():
            end = "\n" if done == total else ""
            print(f"\rjudged {done:,} of {total:,} cases", end=end, file=sys.stderr, flush=True)
        elif done == total or done - last[0] >= EVERY:
            last[0] = done
            print(f"judged {done:,} of {total:,} cases", file=sys.stderr, flush=True)

    return show
