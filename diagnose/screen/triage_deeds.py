"""Taking, asking, answering and closing, and the drafts of replies beside the case files."""

from __future__ import annotations

import datetime as dt
import hashlib
import os
import shlex
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

from rich.console import Console
from rich.text import Text

from diagnose.desk.change import do, path_of_case
from diagnose.desk.desk import Desk
from diagnose.desk.judge import Judged
from diagnose.intake.case_files import REPLIES, inside
from diagnose.knowledge.desk import read_wording
from diagnose.model.cases import Deed, DeedWord
from diagnose.problems import InputError, Where, nearest
from diagnose.raw_files import read_raw_file
from diagnose.safe_write import create_file, replace_file
from diagnose.screen.harmless import harmless
from diagnose.screen.marking import harmless_lines
from diagnose.screen.options import MOST_CODE, read_date, read_words
from diagnose.screen.reply import REPLY_TEXTS, Reply, ReplyWriter
from diagnose.screen.reply_forms import as_markdown, as_page, as_text
from diagnose.screen.triage import Deeds

__all__ = ["act"]

MOST_SAID = 8
MOST_NOTE = 2000
MOST_DRAFT_BYTES = 1_000_000


def act(desk: Desk, case: str, deeds: Deeds, screen: Console) -> None:
    """Draft a reply, or do something with a case and write it down. Raises InputError."""
    if deeds.do and deeds.do not in tuple(DeedWord)[:-1]:
        raise InputError.one(Where("--do"), "unknown-word", f'"{deeds.do}" is nothing that can be done with a case.',
                             nearest(deeds.do, [str(word) for word in tuple(DeedWord)[:-1]]))
    if deeds.do and not deeds.by.strip():
        raise InputError.one(Where("--by"), "who", "Say who you are: --by and your code, such as V-2.")
    path = path_of_case(desk.folder, case)
    if deeds.reply or deeds.ask_back:
        _draft(desk, case, path, deeds, screen)
    if deeds.do:
        _do(desk, case, path, deeds, screen)


def _draft(desk: Desk, case: str, path: Path, deeds: Deeds, screen: Console) -> None:
    """Write a draft beside the case file, unless one is there, and print it as it now stands."""
    draft = _draft_path(path, case)
    fresh = create_draft(draft, as_markdown(_reply(desk, desk.one(case), deeds)))
    if deeds.edit:
        _edit(draft)
    screen.print(Text(harmless_lines(as_text(_read(draft)))))
    state = "Draft written" if fresh else "This draft was there already and was left as it is; delete it to begin anew"
    word = "ask" if deeds.ask_back else "answer"
    screen.print(Text(f"{state}: {harmless(str(draft))}. Edit it, send it, then: --do {word} --by CODE", style="dim"))


def _reply(desk: Desk, judged: Judged, deeds: Deeds) -> Reply:
    wording = read_wording(desk.judge.opener.knowledge, "reply", REPLY_TEXTS)
    writer = ReplyWriter(desk.base, desk.judge.rules, wording)
    ask = True if deeds.ask_back else False if deeds.do == DeedWord.ANSWER else None
    return writer.write(judged.case_file.case, judged.result, desk.today, deeds.by, ask=ask)


def create_draft(draft: Path, markdown: str) -> bool:
    """Write a draft; False, and nothing done, if one is there: it may have been edited."""
    try:
        draft.parent.mkdir(exist_ok=True)
    except OSError as error:
        raise InputError.one(Where(str(draft.parent)), "cannot-be-written",
                             f"This folder cannot be made: {(error.strerror or 'unknown reason').lower()}.") from error
    return create_file(draft, markdown.encode("utf-8"))


def _draft_path(path: Path, case: str) -> Path:
    """Where the draft lies. Raises InputError where that is outside the folder of the case, all links followed."""
    draft = path.parent / REPLIES / f"{case}.md"
    if inside(path.parent, f"{REPLIES}/{case}.md") is None:
        raise InputError.one(Where(str(draft)), "leads-out", "This leads out of the folder of the case.",
                             "Replies lie beside the case files; take out the link.")
    return draft


def _edit(draft: Path) -> None:
    editor = os.environ.get("VISUAL") or os.environ.get("EDITOR")
    if not editor:
        raise InputError.one(Where("--edit"), "no-editor", "No editor is named.",
                             "Set EDITOR, or open the draft yourself.")
    try:
        command = shlex.split(editor)
    except ValueError as error:
        raise InputError.one(Where("--edit"), "no-editor", f'"{editor}" is no command.', "Set EDITOR anew.") from error
    subprocess.run([*command, str(draft)], check=False)


def _read(draft: Path) -> str:
    try:
        return read_raw_file(draft, str(draft), MOST_DRAFT_BYTES).decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise InputError.one(Where(str(draft)), "not-utf-8", "This draft is not UTF-8 text.") from error


def _do(desk: Desk, case: str, path: Path, deeds: Deeds, screen: Console) -> None:
    now = dt.datetime.now(dt.UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
    by, note = read_words(deeds.by, "--by", MOST_CODE), read_words(deeds.note, "--note", MOST_NOTE)
    deed = Deed(deeds.do, by, desk.today, now, note)
    if deeds.do == DeedWord.ANSWER:
        deed = _answered(desk, desk.one(case), deed, deeds)
    elif deeds.look_again:
        deed = replace(deed, look_again=read_date(deeds.look_again, desk.today, "--look-again"))
    draft = _draft_path(path, case)
    markdown = None
    if deeds.do in (DeedWord.ASK, DeedWord.ANSWER) and draft.exists():
        markdown = _read(draft)  # before the deed, which must not stand where the draft cannot be sent
        deed = replace(deed, reply=f"{REPLIES}/{draft.name} {_stamp(draft)}")
    after, warning = do(path, desk.folder, deed, take_over=deeds.take_over)
    if markdown is not None:
        _sent(draft, markdown, case, screen)
    holder = f", {harmless(after.taken_by)} has it" if after.taken_by else ", nobody has it"
    again = f" To be looked at again on {after.look_again.isoformat()}." if deed.look_again and after.look_again else ""
    screen.print(Text(f"Case {case} is {after.state}{holder}.{again}"))
    if warning:
        print(warning, file=sys.stderr)


def _answered(desk: Desk, judged: Judged, deed: Deed, deeds: Deeds) -> Deed:
    """The deed with what was said, for the record of how right we were, and the day to look again."""
    said = tuple((cause.cause, cause.probability) for cause in judged.result.causes[:MOST_SAID])
    usual = _reply(desk, judged, replace(deeds, ask_back=False)).look_again
    again = read_date(deeds.look_again, desk.today, "--look-again") if deeds.look_again else usual
    return replace(deed, said=said, look_again=again)


def _stamp(draft: Path) -> str:
    return f"sha256:{hashlib.sha256(draft.read_bytes()).hexdigest()[:16]}"


def _sent(draft: Path, markdown: str, case: str, screen: Console) -> None:
    """Keep what was sent as text and as a page too, made from the draft as it was edited."""
    for path, content in ((draft.with_suffix(".txt"), as_text(markdown)),
                          (draft.with_suffix(".html"), as_page(markdown, f"About your plant (case {case})"))):
        replace_file(path, None, content.encode("utf-8"))
        screen.print(Text(f"Written: {harmless(str(path))}", style="dim"))
