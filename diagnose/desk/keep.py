"""Keeps what was found out about case files between runs: a store that can be deleted any time and is never wrong.

An entry counts only if the bytes of the case file, its records, the rule base, the club's frequencies and the program
are the same as when it was made, each by its digest. An entry that was only half written is passed over.
"""

from __future__ import annotations

import contextlib
import hashlib
import importlib.metadata
import os
from collections.abc import Iterable, Mapping
from pathlib import Path

from pydantic import TypeAdapter, ValidationError

import diagnose
from diagnose.frozen import frozen
from diagnose.intake.case_files import inside, records_files
from diagnose.knowledge.store import cache_folder, code_digest, digest_of, uncollected
from diagnose.model.cases import DeskCase

__all__ = ["Kept", "Store", "digest", "program_digest", "records_digest"]

_PACKAGE = Path(diagnose.__file__).resolve().parent
_COUNTED_ON = ("durable-rules", "numpy", "polars", "pydantic", "pyyaml", "rapidfuzz")
MOST_GARBAGE = 2  # so many times more entries than cases, and the store is written afresh


@frozen
class Kept:
    """What was found out about one file, and from what: digests of the file and of its records.

    ``as_of`` is the day it was judged as of where the file itself gives none.
    """

    file: str
    content: str
    records: str
    as_of: str
    found: DeskCase


_FORM, _FORMS = TypeAdapter(Kept), TypeAdapter(list[Kept])


def digest(content: bytes) -> str:
    """A digest that differs whenever the bytes do."""
    return hashlib.sha256(content).hexdigest()


def program_digest(knowledge: Path, priors: Mapping[str, float]) -> str:
    """A digest of everything but the cases that a judgement depends on."""
    made_of = hashlib.sha256(digest_of(knowledge, code_digest(_PACKAGE.rglob("*.py"))).encode())
    for name in _COUNTED_ON:
        made_of.update(f"{name} {importlib.metadata.version(name)}\0".encode())
    for cause, share in sorted(priors.items()):
        made_of.update(f"{cause} {share!r}\0".encode())
    return made_of.hexdigest()


def records_digest(case_folder: Path, records: str, seen: dict[Path, str]) -> str:
    """A digest of every file of a records folder; a word where there is none. ``seen`` spares reading one twice."""
    folder = inside(case_folder, records) if records else None
    if folder is None:
        return "outside" if records else ""
    if folder not in seen:
        seen[folder] = _folder_digest(folder) if folder.is_dir() else "missing"
    return seen[folder]


def _folder_digest(folder: Path) -> str:
    made_of = hashlib.sha256()
    for path in records_files(folder):
        if path.is_file():
            try:
                content = path.read_bytes()
            except OSError as error:
                content = str(error).encode()
            made_of.update(f"{path.relative_to(folder)}\0{len(content)}\0".encode())
            made_of.update(content)
    return made_of.hexdigest()


class Store:
    """The entries of one folder of cases: a file of lines, each with a digest of its own."""

    def __init__(self, folder: Path, state: str) -> None:
        name = digest(os.fsencode(folder.resolve()))[:24]
        self.path = cache_folder() / "triage" / f"{name}.lines"
        self.state = state
        self.lines = 0

    def read(self) -> dict[str, Kept]:
        """Entries by the name of their file; none where the store is of another rule base or program."""
        try:
            head, *lines = self.path.read_bytes().split(b"\n")
        except OSError:
            return {}
        if head.decode("ascii", "replace") != self.state:
            return {}
        self.lines = len(lines)
        whole = [text for check, _, text in (line.partition(b" ") for line in lines)
                 if text and check.decode("ascii", "replace") == digest(text)[:16]]
        with contextlib.suppress(ValidationError), uncollected():
            return {kept.file: kept for kept in _FORMS.validate_json(b"[" + b",".join(whole) + b"]")}
        return {}

    def add(self, entries: Iterable[Kept]) -> None:
        """Add entries at the end. A store that cannot be written is done without."""
        with contextlib.suppress(OSError), self.path.open("ab") as file:
            file.write(b"".join(b"\n" + _line(kept) for kept in entries))

    def begin(self, entries: Iterable[Kept]) -> None:
        """Write the store afresh with these entries, in one step."""
        beside = self.path.with_suffix(f".{os.getpid()}")
        try:
            self.path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            beside.write_bytes(self.state.encode() + b"".join(b"\n" + _line(kept) for kept in entries))
            os.replace(beside, self.path)
        except OSError:
            with contextlib.suppress(OSError):
                beside.unlink()

    def overgrown(self, cases: int) -> bool:
        """Whether most lines are of no use any more."""
        return self.lines > MOST_GARBAGE * cases + 1000


def _line(kept: Kept) -> bytes:
    text = _FORM.dump_json(kept)
    return digest(text)[:16].encode() + b" " + text
