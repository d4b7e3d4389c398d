"""Two people, one folder: a lock where the file system keeps locks, and a word of warning where it may not."""

from __future__ import annotations

import contextlib
import errno
import os
import time
from collections.abc import Iterator
from pathlib import Path

from diagnose.problems import InputError, Where

try:
    import fcntl
except ImportError:  # a system without this kind of lock: changes made meanwhile are still detected
    fcntl = None  # type: ignore[assignment]

__all__ = ["LOCK_NAME", "far_file_system", "folder_lock"]

LOCK_NAME = ".diagnose.lock"
MOST_WAIT_S = 60.0
PAUSE_S = 0.01
_NO_LOCKS = (errno.ENOLCK, errno.ENOTSUP, errno.EOPNOTSUPP, errno.EINVAL, errno.ENOSYS)
_FAR = ("nfs", "cifs", "smb", "9p", "afs", "ceph", "gluster", "lustre", "fuse", "davfs", "vboxsf", "prl_fs")


@contextlib.contextmanager
def folder_lock(folder: Path, most_wait_s: float = MOST_WAIT_S) -> Iterator[str]:
    """Hold the folder's lock; the value is a warning for the reader, empty where the lock can be relied on.

    The system frees the lock when its holder ends, however that comes about. Raises InputError if another holds it
    for too long or the folder cannot be written.
    """
    try:
        handle = os.open(folder / LOCK_NAME, os.O_RDWR | os.O_CREAT | getattr(os, "O_CLOEXEC", 0), 0o666)
    except OSError as error:
        raise InputError.one(Where(str(folder)), "cannot-be-written",
                             f"Nothing can be written in this folder: {(error.strerror or 'unknown').lower()}.",
                             ) from error
    try:
        locked = _acquire(handle, folder, most_wait_s)
        yield _warning(folder, locked)
    finally:
        os.close(handle)  # frees the lock as well


def _acquire(handle: int, folder: Path, most_wait_s: float) -> bool:
    """Whether the lock is held; False where this file system knows no locks."""
    if fcntl is None:
        return False
    until = time.monotonic() + most_wait_s
    while True:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
            return True
        except OSError as error:
            if error.errno in _NO_LOCKS:
                return False
            if error.errno not in (errno.EAGAIN, errno.EACCES, errno.EINTR):
                raise
        if time.monotonic() > until:
            raise InputError.one(Where(str(folder / LOCK_NAME)), "locked",
                                 f"Somebody else has been writing here for more than {most_wait_s:g} seconds.",
                                 "Nothing was changed; try again in a while.")
        time.sleep(PAUSE_S)


def _warning(folder: Path, locked: bool) -> str:
    if not locked:
        return ("This folder cannot be locked. What others change at the same moment is detected before writing, "
                "but agree who writes when.")
    kind = far_file_system(folder)
    if kind:
        return (f"This folder lies on a network or shared file system ({kind}), where a lock may not reach the others. "
                "Changes by others are detected before writing; look again at the list after a change.")
    return ""


def far_file_system(folder: Path, mounts: str = "/proc/self/mountinfo") -> str:
    """The kind of file system, if the folder lies on one that is reached over a network or passed through."""
    try:
        lines = Path(mounts).read_text(encoding="utf-8", errors="replace").splitlines()
        place = folder.resolve()
    except OSError:
        return ""
    found, longest = "", -1
    for line in lines:
        before, _, after = line.partition(" - ")
        fields, kind = before.split(), after.split(" ")[0]
        point = fields[4].replace("\\040", " ") if len(fields) > 4 else ""
        if point and place.is_relative_to(point) and len(point) >= longest:
            found, longest = kind, len(point)
    return found if found.startswith(_FAR) and found != "fuseblk" else ""
