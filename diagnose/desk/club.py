"""The club's own settings, ``club.yaml`` beside the case files: whether its own frequencies move the priors.

Switching on writes down the counts of that day, so that judgements do not change by themselves with each new outcome;
switching off leaves the counts and goes back to the book.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import field
from pathlib import Path

from diagnose.frozen import frozen
from diagnose.intake.case_edit import Put, edited
from diagnose.intake.case_files import CLUB_FILE
from diagnose.intake.locks import folder_lock
from diagnose.intake.records.entry import Entry
from diagnose.marked_yaml import Pairs, read_marked
from diagnose.problems import InputError, Problem, Where
from diagnose.safe_write import replace_file

__all__ = ["Club", "read_club", "write_club"]

_START = "# The club's own settings for the list of cases. What is not known here is kept as it is.\n"


@frozen
class Club:
    """Whether the club's frequencies are used, the outcomes counted, until when, and what the book counts for."""

    use: bool = False
    counts: Mapping[str, int] = field(default_factory=dict)
    until: dt.date | None = None
    book_cases: float = 0.0


def read_club(folder: Path) -> Club:
    """The settings of a folder of cases; the book alone where there are none. Raises InputError."""
    path = folder / CLUB_FILE
    if not path.exists():
        return Club()
    root = read_marked(path, CLUB_FILE)
    problems: list[Problem] = []
    entry = Entry(root if isinstance(root, Pairs) else Pairs(Where(CLUB_FILE)), problems, []).inner("frequencies")
    club = _club(entry) if entry else Club()
    if problems:
        raise InputError(problems)
    return club


def _club(entry: Entry) -> Club:
    counts = entry.inner("counts")
    return Club(
        use=entry.yes_no("use") is True,
        counts={cause: int(counts.number(cause, 0, 1e6) or 0) for cause in counts.pairs} if counts else {},
        until=entry.date("until"),
        book_cases=entry.number("book_cases", 0.1, 1e6) or 0.0,
    )


def write_club(folder: Path, club: Club) -> str:
    """Write the settings; the value is a warning of the lock, if any. Raises InputError."""
    path = folder / CLUB_FILE
    value = {"use": "yes" if club.use else "no", "book_cases": club.book_cases,
             "until": club.until.isoformat() if club.until else "",
             "counts": {cause: str(count) for cause, count in sorted(club.counts.items())}}
    with folder_lock(folder) as warning:
        before = path.read_bytes() if path.is_file() else None
        text = before.decode("utf-8") if before is not None else _START
        replace_file(path, before, edited(text, CLUB_FILE, [Put("frequencies", value)]).encode("utf-8"))
    return warning
