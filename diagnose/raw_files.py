"""Reads the bytes of a file that others made: up to a limit, and of nothing that never ends."""

from __future__ import annotations

import os
import stat
from pathlib import Path

from diagnose.problems import InputError, Where

__all__ = ["read_raw_file"]


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
