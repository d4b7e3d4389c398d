"""Makes case files of letters: an id and a code instead of a name, nothing personal, no letter twice."""

from __future__ import annotations

import datetime as dt
import hashlib
import re
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from diagnose.frozen import frozen
from diagnose.intake.case_edit import flow
from diagnose.intake.case_files import case_paths, read_raw
from diagnose.intake.locks import folder_lock
from diagnose.intake.pasted import Pasted
from diagnose.marked_yaml import legible
from diagnose.problems import InputError
from diagnose.safe_write import create_file

__all__ = ["Added", "add_letters"]

_ID = re.compile(r"^case:\s*[\"']?(\d{4})-(\d{1,6})[\"']?\s*(?:#.*)?$", re.MULTILINE)
_MEMBER = re.compile(r"^member:\s*[\"']?M-(\d{1,6})[\"']?\s*(?:#.*)?$", re.MULTILINE)
_DIGEST = re.compile(r"^letter_digest:\s*[\"']?([0-9a-f]{16})", re.MULTILINE)
_CASE = re.compile(r"^case:\s*[\"']?([^\s\"'#]+)", re.MULTILINE)


@frozen
class Added:
    """What became of a letter: its case and member's code; ``fresh`` False where it was here already."""

    pasted: Pasted
    case: str
    member: str
    fresh: bool


@dataclass(slots=True)
class _Numbers:
    """The highest numbers in use, and the letters that are here already."""

    cases: dict[int, int]
    member: int
    letters: dict[str, str]


def add_letters(folder: Path, letters: Iterable[Pasted], today: dt.date) -> tuple[list[Added], str]:
    """Write a case file for each letter that is not here yet; gives what was done and a warning of the lock, if any.

    A letter without a date counts as received today. Raises InputError where nothing can be written.
    """
    codes: dict[str, str] = {}
    added: list[Added] = []
    with folder_lock(folder) as warning:
        numbers = _numbers(folder)
        for pasted in letters:
            digest = _digest(pasted.letter)
            if digest in numbers.letters:
                added.append(Added(pasted, numbers.letters[digest], "", False))
                continue
            member = codes.get(pasted.sender) if pasted.sender else None
            if member is None:
                numbers.member += 1
                member = f"M-{numbers.member:02d}"
                codes[pasted.sender] = member
            case = _written(folder, pasted, member, pasted.received or today, digest, numbers)
            numbers.letters[digest] = case
            added.append(Added(pasted, case, member, True))
    return added, warning


def _numbers(folder: Path) -> _Numbers:
    found = _Numbers({}, 0, {})
    for path in case_paths(folder):
        try:
            text = read_raw(path, folder).decode("utf-8-sig", "replace").replace("\r", "")
        except InputError:
            continue
        for year, number in _ID.findall(text):
            found.cases[int(year)] = max(found.cases.get(int(year), 0), int(number))
        found.member = max([found.member, *map(int, _MEMBER.findall(text))])
        digest, case = _DIGEST.search(text), _CASE.search(text)
        if digest and case:
            found.letters[digest[1]] = case[1]
    return found


def _written(folder: Path, pasted: Pasted, member: str, received: dt.date, digest: str, numbers: _Numbers) -> str:
    """Write the file under the next free id of its year."""
    while True:
        numbers.cases[received.year] = numbers.cases.get(received.year, 0) + 1
        case = f"{received.year}-{numbers.cases[received.year]:03d}"
        lines = [f"case: {case}", f"received: {received.isoformat()}", f"member: {member}", "letter: |",
                 *(f"  {line}".rstrip() for line in _lines(pasted.letter)), f"letter_digest: {flow(digest)}"]
        lines += [f"left_out: {flow(list(pasted.left_out))}"] if pasted.left_out else []
        if create_file(folder / f"{case}.yaml", ("\n".join([*lines, "state: new"]) + "\n").encode("utf-8")):
            return case


def _lines(letter: str) -> list[str]:
    """The letter's lines as a block of YAML can hold them: the first one begins at the edge."""
    lines = [legible(line).rstrip() for line in letter.strip().splitlines()]
    return [lines[0].lstrip(), *lines[1:]]


def _digest(letter: str) -> str:
    """A digest of a letter's words, by which it is known again however it is folded."""
    return hashlib.sha256(" ".join(letter.split()).casefold().encode("utf-8")).hexdigest()[:16]
