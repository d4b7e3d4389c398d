"""Finds and reads case files. What cannot be used of one is kept as problems; the rest of it still serves."""

from __future__ import annotations

import os
import re
import stat
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path, PurePosixPath

from diagnose.intake.letter_files import MOST_LETTER
from diagnose.intake.records.entry import Entry
from diagnose.marked_yaml import Pairs, legible, parse_marked
from diagnose.model.cases import RESULTS, CaseFile, CaseState, Deed, DeedWord, Outcome
from diagnose.model.facts import State
from diagnose.problems import InputError, Problem, Where

__all__ = ["CLUB_FILE", "REPLIES", "case_paths", "inside", "parse_case", "paths_of_case", "read_raw",
           "records_files", "shown_as"]

CLUB_FILE = "club.yaml"  # the club's own settings, beside the case files
REPLIES = "replies"  # the folder of drafts and sent letters
MOST_BYTES = 2_000_000
_ANSWERS = {"yes": State.PRESENT, "true": State.PRESENT, "no": State.ABSENT, "false": State.ABSENT,
            "unsure": State.UNSURE}
_CASE_ID = re.compile(r"[^\W_][\w.+ -]{0,59}")


def case_paths(folder: Path) -> list[Path]:
    """Every case file of a folder and the folders in it, in order of their names. Raises InputError.

    Left out: hidden files, records folders (they hold a bench.yaml), replies, and folders that are only linked.
    """
    if not folder.is_dir():
        words = "This is no folder." if folder.exists() else "There is no folder of this name."
        raise InputError.one(Where(str(folder)), "no-folder", words, "Name the folder that holds the case files.")
    return sorted(_walk(folder, top=True), key=os.fspath)


def _walk(folder: Path, *, top: bool) -> Iterator[Path]:
    try:
        with os.scandir(folder) as listing:
            found = [item for item in listing if not item.name.startswith(".")]
    except OSError as error:
        raise InputError.one(Where(str(folder)), "cannot-be-read", f"This folder cannot be read: {error.strerror}.",
                             ) from error
    if not top and any(item.name == "bench.yaml" for item in found):
        return
    for item in found:
        if item.is_dir(follow_symlinks=False):
            if item.name != REPLIES:
                yield from _walk(Path(item.path), top=False)
        elif item.name.lower().endswith((".yaml", ".yml")) and not (top and item.name == CLUB_FILE):
            yield Path(item.path)


def paths_of_case(folder: Path, case: str) -> list[Path]:
    """The files that say they are this case: found by their text, so that a broken neighbour does no harm."""
    blanks = r"[ \t]*+"
    line = re.compile(rf"^{blanks}(?:\{{{blanks})?case{blanks}:{blanks}[\"']?{re.escape(case)}[\"']?{blanks}"
                      r"([,}#].*)?$", re.MULTILINE)
    found = []
    for path in case_paths(folder):
        try:
            if line.search(read_raw(path, folder).decode("utf-8-sig", "replace").replace("\r", "")):
                found.append(path)
        except InputError:
            continue
    return found


def read_raw(path: Path, folder: Path) -> bytes:
    """The bytes of a case file. Raises InputError if it cannot be read or is a link that leads out of the folder."""
    try:
        kind = path.lstat().st_mode
        if stat.S_ISLNK(kind) and inside(folder, shown_as(path, folder)) is None:
            raise _unreadable(path, folder, "leads-out", "This is a link that leads out of the folder.")
        if not stat.S_ISREG(kind) and not path.is_file():
            raise _unreadable(path, folder, "not-a-file", "This is not an ordinary file.")
        with path.open("rb") as file:
            raw = file.read(MOST_BYTES + 1)
    except OSError as error:
        words = f"This file cannot be read: {(error.strerror or 'unknown reason').lower()}."
        raise _unreadable(path, folder, "cannot-be-read", words) from error
    if len(raw) > MOST_BYTES:
        raise _unreadable(path, folder, "file-too-large", f"This file is larger than {MOST_BYTES:,} bytes.")
    return raw


def _unreadable(path: Path, folder: Path, code: str, words: str) -> InputError:
    return InputError.one(Where(shown_as(path, folder)), code, words)


def shown_as(path: Path, folder: Path) -> str:
    """How a file of the folder is named in lists and messages."""
    return path.relative_to(folder).as_posix()


def inside(base: Path, relative: str) -> Path | None:
    """The folder a relative path means, if it lies inside ``base`` with all links followed; else None."""
    try:
        found = (base / relative).resolve()
        found.exists()  # an error where no file can have such a name
        return found if found.is_relative_to(base.resolve()) else None
    except (OSError, ValueError, RuntimeError):
        return None


def records_files(folder: Path) -> list[Path]:
    """What lies in a records folder, in the order of the paths."""
    return sorted([*folder.glob("*"), *folder.glob("climate/*")])


def parse_case(raw: bytes, shown: str) -> CaseFile:
    """The case of a file's bytes. Raises InputError where it is no case file at all."""
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        raise InputError.one(Where(shown, line), "not-utf-8", "This file is not UTF-8 text.") from error
    root = parse_marked(legible(text), shown)
    if not isinstance(root, Pairs):
        raise InputError.one(Where(shown, 1), "no-case", "This file holds no case.",
                             'Expected lines such as "case: 2026-014" and "letter: |".')
    problems: list[Problem] = []
    entry = Entry(root, problems, [])
    return _case(entry, shown, problems)


def _case(entry: Entry, shown: str, problems: list[Problem]) -> CaseFile:
    plant, records = entry.inner("plant"), entry.inner("records")
    case = _case_id(entry, shown)
    received, letter = entry.date("received"), _letter(entry)
    if received is None and entry.text("received") == "":
        entry.wrong(entry.where, "no-date", "The day the letter came is missing.", "Write received: 2026-03-02.")
    answers = _answers(entry)
    if not letter and not answers:
        entry.wrong(entry.where, "no-letter", "There is neither a letter nor answers.", "Write letter: | and the text.")
    found = CaseFile(
        file=shown, case=case, received=received, member=entry.text("member"), letter=letter,
        group=plant.text("group") if plant else "",
        stage=plant.text("stage") if plant else "",
        medium=plant.text("medium") if plant else "",
        records_folder=_records_folder(records) if records else "",
        records_plant=records.text("plant") if records else "",
        answers=answers,
        state=CaseState(entry.choice("state", [str(state) for state in CaseState]) or CaseState.NEW),
        taken_by=entry.text("taken_by"), outcome=_outcome(entry), context=_context(entry), history=_history(entry),
        look_again=entry.date("look_again"),
    )
    entry.done("a case file")
    return replace(found, problems=tuple(sorted(problems)))


def _letter(entry: Entry) -> str:
    letter = entry.text("letter")
    if len(letter) > MOST_LETTER:
        entry.wrong(entry.place("letter"), "letter-too-long", f"This letter is longer than {MOST_LETTER:,} characters.",
                    "What is beyond them was not read.")
    return letter[:MOST_LETTER]


def _case_id(entry: Entry, shown: str) -> str:
    case = entry.text("case")
    if not case:
        entry.wrong(entry.where, "no-case-id", "The case has no id.", "Write case: and an id, such as 2026-014.")
    elif not _CASE_ID.fullmatch(case):
        entry.wrong(entry.place("case"), "bad-case-id", "This does not do for an id.",
                    "Use letters, digits, dots and dashes.")
    else:
        return case
    return PurePosixPath(shown).stem


def _records_folder(entry: Entry) -> str:
    """The records folder as typed, where its path stays inside; whether links lead out is seen when it is read."""
    folder = entry.text("folder")
    parts = PurePosixPath(folder).parts
    if folder and (folder.startswith("/") or "\\" in folder or ":" in folder or ".." in parts or "\0" in folder):
        entry.wrong(entry.place("folder"), "leads-out", "The records must lie inside the folder of the case file.",
                    "Write a path such as records/m27.")
        return ""
    return folder


def _answers(entry: Entry) -> tuple[tuple[str, State], ...]:
    inner = entry.inner("answers")
    found: list[tuple[str, State]] = []
    for sign in inner.pairs if inner else ():
        word = inner.text(sign).casefold() if inner else ""
        if word in _ANSWERS:
            found.append((sign, _ANSWERS[word]))
        elif inner:
            inner.wrong(inner.place(sign), "bad-answer", f'"{word}" is no answer.', "Write yes, no or unsure.")
    return tuple(found)


def _outcome(entry: Entry) -> Outcome | None:
    inner = entry.inner("outcome")
    if inner is None:
        return None
    cause, result, on = inner.text("cause"), inner.choice("result", RESULTS), inner.date("on")
    if cause and result and on:
        return Outcome(cause, result, on)
    inner.wrong(inner.where, "outcome-incomplete", "An outcome needs a cause, a result and a day.",
                "Write outcome: {cause: ..., result: better, on: 2026-04-10}.")
    return None


def _context(entry: Entry) -> tuple[tuple[str, str], ...]:
    inner = entry.inner("context")
    return tuple((key, inner.text(key)) for key in inner.pairs if inner.text(key)) if inner else ()


def _history(entry: Entry) -> tuple[Deed, ...]:
    return tuple(deed for deed in map(_deed, entry.listed("history")) if deed)


def _deed(entry: Entry) -> Deed | None:
    on, did = entry.date("on"), entry.choice("did", [str(word) for word in DeedWord])
    if on is None or not did:
        entry.wrong(entry.where, "bad-history", "This entry of the history needs a day and what was done.",
                    "Write - {on: 2026-03-03, by: V-2, did: take}.")
        return None
    said = entry.inner("said")
    chances = tuple((cause, said.number(cause, 0.0, 1.0) or 0.0) for cause in said.pairs) if said else ()
    return Deed(did, entry.text("by"), on, entry.text("at"), entry.text("note"), entry.text("reply"),
                entry.date("look_again"), chances)
