"""Writes a file so that a reader finds the old text or the new one, whole, and nobody's change is written over."""

from __future__ import annotations

import contextlib
import errno
import os
import tempfile
from pathlib import Path
from typing import BinaryIO

from diagnose.problems import InputError, Where

__all__ = ["create_file", "replace_file", "sweep", "unwritable"]

PREFIX = ".writing-"


def replace_file(path: Path, before: bytes | None, after: bytes) -> None:
    """Put new bytes in place of ``before`` (None: in place of nothing or anything).

    They are written beside the file, pushed to the disk, and then take its name in one step. Raises InputError if
    the file no longer holds ``before``, if somebody wrote it again in the same moment, or if it cannot be written.
    """
    target = _target(path)
    if before is not None and _bytes(target) != before:
        raise _changed(path)
    name = _written_beside(target, after)
    try:
        if before is not None and _bytes(target) != before:
            raise _changed(path)
        os.replace(name, target)
    except OSError as error:
        _remove(name)
        raise unwritable(path, error) from error
    except BaseException:
        _remove(name)
        raise
    _push_folder(target.parent)
    if before is not None and _bytes(target) != after:
        raise _changed(path, "Your change was written, but")


def create_file(path: Path, content: bytes) -> bool:
    """Write a new file; False, and nothing done, if the name is taken. Raises InputError where it cannot be written."""
    name = _written_beside(path, content)
    try:
        os.link(name, path)
    except FileExistsError:
        return False
    except OSError:  # a file system without second names for a file
        if not _written_there(path, content):
            return False
    finally:
        _remove(name)
    _push_folder(path.parent)
    return True


def sweep(folder: Path) -> None:
    """Remove what a writer that was killed left beside the files. Only for the holder of the folder's lock."""
    for left in folder.glob(f"{PREFIX}*"):
        with contextlib.suppress(OSError):
            left.unlink()


def _written_beside(target: Path, content: bytes) -> str:
    name = ""
    try:
        handle, name = tempfile.mkstemp(prefix=PREFIX, dir=target.parent)
        with os.fdopen(handle, "wb") as file:
            _push(file, content)
        mode = target.stat().st_mode & 0o777 if target.exists() else 0o644
        os.chmod(name, mode)
    except OSError as error:
        _remove(name)
        raise unwritable(target, error) from error
    return name


def _written_there(path: Path, content: bytes) -> bool:
    """Write a new file under its own name; False if it is taken. Nothing of it stays where it cannot be written."""
    try:
        with path.open("xb") as file:
            try:
                _push(file, content)
            except OSError:
                _remove(path)
                raise
    except FileExistsError:
        return False
    except OSError as error:
        raise unwritable(path, error) from error
    return True


def _push(file: BinaryIO, content: bytes) -> None:
    """Write the content through to the disk."""
    file.write(content)
    file.flush()
    os.fsync(file.fileno())


def _remove(name: str | Path) -> None:
    """Remove a file if it is there and can be."""
    with contextlib.suppress(OSError):
        os.unlink(name)


def _target(path: Path) -> Path:
    """The file itself that a path means, with all links followed."""
    try:
        return path.resolve()
    except RuntimeError as error:  # links that lead in a circle, before Python 3.13
        raise unwritable(path, OSError(errno.ELOOP, os.strerror(errno.ELOOP))) from error


def unwritable(path: Path, error: OSError) -> InputError:
    """The message that a file cannot be written, with the system's reason."""
    return InputError.one(Where(str(path)), "cannot-be-written",
                          f"This file cannot be written: {(error.strerror or 'unknown reason').lower()}.")


def _push_folder(folder: Path) -> None:
    """Make the new name last through a loss of power, where the system lets a folder be pushed."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _bytes(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError:
        return b""


def _changed(path: Path, start: str = "Nothing was written, for") -> InputError:
    return InputError.one(Where(str(path)), "changed-meanwhile", f"{start} somebody else changed this file meanwhile.",
                          "Look at it again, then repeat what you did if it is still wanted.")
