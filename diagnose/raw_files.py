"""Finds and reads files that others made: what is beyond reach is told, and nothing is read that never ends."""

from __future__ import annotations

import os
import stat
from pathlib import Path

from diagnose.problems import InputError, Problem, Where

__all__ = ["files_under", "read_raw_file"]


def files_under(folder: Path) -> tuple[list[Path], list[Problem]]:
    """All that is no folder in a folder and those in it, by path, and a problem for each folder that cannot be read.

    Folders that are only linked, and links to nothing, are left out; a folder that is not there holds nothing.
    """
    problems: list[Problem] = []

    def note(error: OSError) -> None:
        if not isinstance(error, FileNotFoundError):
            words = f"This folder cannot be read: {error.strerror}."
            problems.append(Problem(Where(str(error.filename)), "cannot-be-read", words))

    found = [Path(place, name) for place, _, names in os.walk(folder, onerror=note) for name in names]
    return sorted(path for path in found if path.exists()), problems


def read_raw_file(path: Path, shown: str, most: int) -> bytes:
    """The bytes of a file. Raises InputError if it cannot be read, is larger than ``most``, or is a pipe or a device.

    A link to one is followed: so a shell gives what another command writes.
    """
    try:
        kind = os.lstat(path).st_mode
        if not (stat.S_ISREG(kind) or stat.S_ISLNK(kind) or stat.S_ISDIR(kind)):
            raise InputError.one(Where(shown), "not-a-file", "This is not an ordinary file.")
        with path.open("rb") as file:
            raw = file.read(most + 1)
    except OSError as error:
        words = f"This file cannot be read: {error.strerror}."
        raise InputError.one(Where(shown), "cannot-be-read", words) from error
    if len(raw) > most:
        raise InputError.one(Where(shown), "file-too-large", f"This file is larger than {most:,} bytes.")
    return raw
