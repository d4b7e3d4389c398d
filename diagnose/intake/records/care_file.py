"""Adds rows to care.csv and takes them out again; every other byte of the file stays as its grower left it.

The file is written beside itself, pushed to the disk and then takes its name in one step, under the folder's lock. What
was added is noted in a journal before the file changes; a note whose rows are not there is recognised by the digest of
the file without them, so that a program killed at any moment loses nothing and undoes nothing wrongly.
"""

from __future__ import annotations

import csv
import hashlib
import io
import json
from collections.abc import Collection, Sequence
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any, Final

from diagnose.frozen import frozen
from diagnose.intake.locks import folder_lock
from diagnose.intake.records.care import COLUMNS, MOST_BYTES, RowReader, care_table
from diagnose.intake.records.log_line import LogRow
from diagnose.problems import InputError, Problem, Where
from diagnose.raw_files import read_raw_file
from diagnose.safe_write import create_file, replace_file, sweep

__all__ = ["JOURNAL", "add_rows", "undo_rows"]

JOURNAL: Final = ".care-added"
MOST_UNDONE: Final = 100
_MARKS: Final = ((b"\xff\xfe", "utf-16-le"), (b"\xfe\xff", "utf-16-be"), (b"\xef\xbb\xbf", "utf-8"))


@frozen
class _Note:
    """One entry of the journal: the digest of the file without it, the bytes added as hexadecimal, the rows as text."""

    before: str
    added: str
    rows: tuple[str, ...]


def add_rows(folder: Path, rows: Sequence[LogRow], plants: Collection[str]) -> tuple[tuple[str, ...], str]:
    """Add rows, whose stages are known ones, at the end of care.csv, which is made where there is none.

    Gives the rows as they stand there now, and a warning of the lock if there is one. Raises InputError where a row is
    not sound, where the file cannot take it, or where somebody else changed the file meanwhile.
    """
    path = folder / "care.csv"
    with folder_lock(folder) as warning:
        if not warning:
            sweep(folder)
        old = _read(path)
        style = _style(old, str(path))
        lines = [_line(row, style, str(path)) for row in rows]
        added = style.encoded(("" if style.ended else style.newline) + "".join(line + style.newline for line in lines))
        new = (old or b"") + style.start + added
        _check(new, rows, plants, str(path))
        notes = _arrived(_notes(folder), old)
        _keep(folder, [*notes, _Note(_digest(old), added.hex(), tuple(lines))][-MOST_UNDONE:])
        _write(path, old, new)
    return tuple(lines), warning


def undo_rows(folder: Path) -> tuple[tuple[str, ...], str]:
    """Take out the rows that were added last, wherever they stand now; again, those before them.

    Gives the rows taken out and a warning of the lock if there is one. Raises InputError where there is nothing to
    undo or the rows were changed since.
    """
    path = folder / "care.csv"
    with folder_lock(folder) as warning:
        if not warning:
            sweep(folder)
        old = _read(path)
        notes = _arrived(_notes(folder), old)
        if not notes:
            raise InputError.one(Where(str(path)), "nothing-to-undo", "Nothing was added here that could be undone.")
        added = bytes.fromhex(notes[-1].added)
        at = (old or b"").rfind(added)
        if at < 0:
            raise InputError.one(Where(str(path)), "changed-since", "The rows added last were changed since.",
                                 f"Look for: {notes[-1].rows[0]}")
        assert old is not None
        new = old[:at] + old[at + len(added):]
        _keep(folder, [*notes[:-1], replace(notes[-1], before=_digest(new))])
        _write(path, old, new)
        _keep(folder, notes[:-1])
    return notes[-1].rows, warning


@frozen
class _Style:
    """How a file is written: its columns, delimiter, line ends and encoding, whether its last line is ended.

    ``start`` is what a new or empty file begins with, itself empty for a file that holds something.
    """

    columns: tuple[str, ...] = COLUMNS
    delimiter: str = ","
    newline: str = "\n"
    encoding: str = "utf-8"
    ended: bool = True
    start: bytes = b""

    def encoded(self, text: str) -> bytes:
        """Text in the encoding of the file. Raises UnicodeEncodeError where it has no such letter."""
        return text.encode(self.encoding)


def _read(path: Path) -> bytes | None:
    there = path.exists() or path.is_symlink()
    return read_raw_file(path, str(path), MOST_BYTES) if there else None


def _style(raw: bytes | None, shown: str) -> _Style:
    text, encoding = _decoded(raw or b"")
    if not text.strip():
        return _Style(encoding=encoding, start=f"{','.join(COLUMNS)}\n".encode(encoding))
    care_table(text, shown)  # raises InputError for a file without a usable header
    header = next(line for line in text.splitlines() if line.strip(" \t,;"))
    delimiter = max(",;\t", key=header.count)
    columns = tuple(cell.strip().strip('"').casefold() for cell in header.split(delimiter))
    newline = next((end for end in ("\r\n", "\n", "\r") if end in text), "\n")
    return _Style(columns, delimiter, newline, encoding, text.endswith(("\n", "\r")))


def _decoded(raw: bytes) -> tuple[str, str]:
    for mark, encoding in _MARKS:
        if raw.startswith(mark):
            return raw[len(mark):].decode(encoding, errors="replace"), encoding
    try:
        return raw.decode("utf-8"), "utf-8"
    except UnicodeDecodeError:
        return raw.decode("cp1252", errors="replace"), "cp1252"


def _line(row: LogRow, style: _Style, shown: str) -> str:
    cells = {name: str(value) for name, value in asdict(row).items()}
    lacking = [name for name in COLUMNS if cells[name] and name not in style.columns]
    if lacking:
        raise InputError.one(Where(shown, 1), "care-header", f'This file has no column "{lacking[0]}".',
                             f"Its header can be: {','.join(COLUMNS)}")
    out = io.StringIO()
    csv.writer(out, delimiter=style.delimiter, lineterminator="").writerow(
        [cells.get(name, "") for name in style.columns])
    line = out.getvalue()
    try:
        style.encoded(line)
    except UnicodeEncodeError as error:
        words = f'"{line[error.start]}" cannot be written in the encoding of this file ({style.encoding}).'
        raise InputError.one(Where(shown), "not-writable", words, "Save the file as UTF-8.") from error
    return line


def _check(new: bytes, rows: Sequence[LogRow], plants: Collection[str], shown: str) -> None:
    """Read the new file as it would be read, and compare its last rows with what was meant."""
    found = care_table(_decoded(new)[0], shown)[-len(rows):]
    reader = RowReader(shown, plants)
    read = [reader.read(row.date, line, cells) for row, (line, cells) in zip(rows, found, strict=True)]
    problems = [each for each in read if isinstance(each, Problem)]
    if problems:
        raise InputError(Problem(Where("log"), each.code, each.words, each.hint) for each in problems)
    meant = [{name: str(value) for name, value in asdict(row).items()} for row in rows]
    if [{name: cells[name] for name in COLUMNS} for _, cells in found] != meant:
        raise InputError.one(Where(shown, found[0][0]), "not-writable", "The row would not be read as it was meant.")


def _write(path: Path, old: bytes | None, new: bytes) -> None:
    if old is not None:
        replace_file(path, old, new)
    elif not create_file(path, new):
        raise InputError.one(Where(str(path)), "changed-meanwhile", "Somebody else has made this file meanwhile.",
                             "Nothing was changed; repeat what you did.")


def _digest(content: bytes | None) -> str:
    return hashlib.sha256(content).hexdigest() if content is not None else "none"


def _arrived(notes: list[_Note], content: bytes | None) -> list[_Note]:
    """Without notes at the end whose rows never got into the file, or were already taken out: it is as before them."""
    while notes and notes[-1].before == _digest(content):
        notes = notes[:-1]
    return notes


def _notes(folder: Path) -> list[_Note]:
    """The journal, oldest first; a journal that cannot be read counts as none."""
    try:
        found: list[dict[str, Any]] = json.loads(read_raw_file(folder / JOURNAL, JOURNAL, MOST_BYTES))
        notes = [_Note(each["before"], each["added"], tuple(each["rows"])) for each in found]
        sound = all(bytes.fromhex(note.added) and note.rows and "".join(note.rows) for note in notes)
        return notes if sound else []
    except (InputError, ValueError, TypeError, KeyError, RecursionError):
        return []


def _keep(folder: Path, notes: Sequence[_Note]) -> None:
    replace_file(folder / JOURNAL, None, json.dumps([asdict(note) for note in notes], ensure_ascii=False).encode())
