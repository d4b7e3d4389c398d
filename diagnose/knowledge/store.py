"""Keeps an opened rule base, read and compiled, between runs, under a name made from every byte it came from.

A kept copy can never be stale: its name is a digest of all knowledge files, of the code that reads them and of the
Python version. The code is digested when it is loaded: if other code takes its place while a process runs, what that
process makes is not kept. Anything wrong with a copy, or with the folder, and the YAML is read afresh.
"""

from __future__ import annotations

import contextlib
import gc
import hashlib
import os
import pickle
import sys
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import TypeVar

__all__ = ["cache_folder", "code_digest", "default_folder", "digest_of", "kept", "uncollected"]

T = TypeVar("T")
_PACKAGE = Path(__file__).resolve().parent.parent


def default_folder() -> Path:
    """The knowledge folder of a checkout if there is one, else the one packed with the package."""
    beside = _PACKAGE.parent / "knowledge"
    return beside if (beside / "scales.yaml").is_file() else _PACKAGE / "_knowledge"


def code_digest(code: Iterable[Path]) -> bytes:
    """A digest of code files and of the Python version."""
    return _digest(sys.version.encode(), sorted(code))


def digest_of(folder: Path, code: bytes) -> str:
    """A digest of all YAML files of a folder and of the digest of the code that reads them."""
    return _digest(code, sorted(filter(Path.is_file, folder.rglob("*.yaml")))).hex()


def _digest(start: bytes, files: Iterable[Path]) -> bytes:
    digest = hashlib.sha256(start)
    for path in files:
        with path.open("rb", buffering=0) as file:
            content = file.read()
        digest.update(f"{path.name}\0{len(content)}\0".encode())
        digest.update(content)
    return digest.digest()


def _own_code() -> bytes:
    """The digest of the code that reads and compiles a rule base, as it stands on the disk."""
    rooms = (".", "knowledge", "model", "intake/letters", "reason")
    return code_digest(path for room in rooms for path in (_PACKAGE / room).glob("*.py"))


_LOADED = _own_code()


def kept(folder: Path, kind: type[T], make: Callable[[], T]) -> T:
    """The value made from a knowledge folder: the kept copy if there is one, else made now and kept."""
    place = cache_folder() / f"{digest_of(folder, _LOADED)}.pickle"
    with contextlib.suppress(Exception):  # whatever is wrong with the copy, the YAML decides
        value = pickle.loads(place.read_bytes())
        if isinstance(value, kind):
            return value
    value = make()
    with contextlib.suppress(OSError):
        if _own_code() == _LOADED:
            _keep(place, pickle.dumps(value, protocol=pickle.HIGHEST_PROTOCOL))
    return value


@contextlib.contextmanager
def uncollected() -> Iterator[None]:
    """No garbage collection meanwhile, and none later of what is there by then.

    It would look at every value of an opened rule base again and again and find nothing.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        gc.freeze()
        if was_on:
            gc.enable()


def cache_folder() -> Path:
    """Where this user's copies are kept; everything in it can be deleted at any time."""
    base = os.environ.get("XDG_CACHE_HOME", "")
    if not os.path.isabs(base):  # not valid by the standard that names it
        base = os.path.join(os.path.expanduser("~"), ".cache")
    return Path(base) / "diagnose"


def _keep(place: Path, content: bytes) -> None:
    """Write atomically, readable by the owner alone, and drop copies of earlier rule bases."""
    import tempfile  # only needed where a copy is written
    place.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(dir=place.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
        os.replace(name, place)
    except OSError:
        os.unlink(name)
        raise
    for old in sorted(place.parent.glob("*.pickle"), key=lambda path: path.stat().st_mtime)[:-8]:
        old.unlink(missing_ok=True)
