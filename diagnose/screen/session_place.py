"""Where a question sequence that is going on is kept, so that nothing is lost if it is broken off."""

from __future__ import annotations

import contextlib
import os
from pathlib import Path

from diagnose.intake.session_files import session_text
from diagnose.model.session import Session
from diagnose.problems import InputError
from diagnose.safe_write import create_file, replace_file

__all__ = ["SessionPlace"]

MOST_A_DAY = 1000


class SessionPlace:
    """A file for one sequence: a new one in the user's state folder, or the one it was resumed from."""

    def __init__(self, path: Path | None = None) -> None:
        self.path = path
        self._own = path is None

    def keep(self, session: Session) -> None:
        """Write the session; where it cannot be written, the sequence goes on without."""
        content = session_text(session).encode()
        with contextlib.suppress(InputError, OSError):
            if self.path is None:
                self.path = _create(session, content)
            else:
                replace_file(self.path, None, content)

    def drop(self) -> None:
        """Remove the file of a sequence that has come to its end; one named by the user stays."""
        if self.path is not None and (self._own or self.path.parent.resolve() == _folder().resolve()):
            with contextlib.suppress(OSError):
                self.path.unlink()


def _folder() -> Path:
    base = os.environ.get("XDG_STATE_HOME", "")
    if not os.path.isabs(base):  # not valid by the standard that names it
        base = os.path.join(os.path.expanduser("~"), ".local", "state")
    return Path(base) / "diagnose"


def _create(session: Session, content: bytes) -> Path | None:
    folder = _folder()
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    for number in range(1, MOST_A_DAY):
        path = folder / f"ask-{session.date.isoformat()}-{number}.yaml"
        if create_file(path, content):
            path.chmod(0o600)
            return path
    return None
