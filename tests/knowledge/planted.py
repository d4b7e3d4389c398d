"""Planted mistakes: a change to the small rule base, and the exact report it must give (tests/mistakes/<code>/*.yaml).

``change`` lists changes by ``file``: ``old`` text (found exactly once) with its ``new`` text, ``end`` text put at the
end, ``text`` for a whole file, ``remove``, ``encoding`` for text that is not UTF-8, or ``blanks`` to make a file large.
``reads`` names the reader where it is not the whole rule base, "skeleton CAUSE KIND" for the command that starts a
cause; ``only`` keeps the problems of one file.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml

from diagnose.knowledge.asking import read_asking
from diagnose.knowledge.blank import write_blank
from diagnose.knowledge.checks import run_checks
from diagnose.knowledge.folder import load
from diagnose.knowledge.log_words import read_log_words
from diagnose.knowledge.vocabulary import read_vocabulary
from diagnose.problems import InputError, Problem
from tests.small import small_base, small_folder

FOLDER = Path(__file__).parent.parent / "mistakes"


@dataclass(frozen=True)
class Planted:
    """One planted mistake."""

    name: str
    changes: list[dict[str, str]]
    report: str
    reads: str = "rule base"
    only: str = ""

    @property
    def code(self) -> str:
        """The code the mistake must be reported under: the name of its folder."""
        return self.name.split("/")[0]


def planted() -> list[Planted]:
    """Every planted mistake, in order of its name."""
    found = []
    for path in sorted(FOLDER.glob("*/*.yaml")):
        entry: dict[str, Any] = yaml.load(path.read_text("utf-8"), Loader=yaml.BaseLoader)
        found.append(Planted(f"{path.parent.name}/{path.stem}", entry.pop("change"), **entry))
    return found


def plant(changes: list[dict[str, str]], folder: Path) -> Path:
    """A copy of the small rule base with the changes made."""
    base = folder / "small_base"
    shutil.copytree(small_folder(), base)
    for change in changes:
        path = base / change["file"]
        path.parent.mkdir(exist_ok=True)
        if "remove" in change:
            path.unlink()
            continue
        text = change.get("text", path.read_text("utf-8") if path.exists() else "") + change.get("end", "")
        if "old" in change:
            assert text.count(change["old"]) == 1, f"{change['old']!r} stands {text.count(change['old'])} times there"
            text = text.replace(change["old"], change["new"])
        text += " " * int(change.get("blanks", "0"))
        path.write_bytes(text.encode(change.get("encoding", "utf-8")))
    return base


def problems_of(base: Path, reads: str = "rule base") -> list[Problem]:
    """What is reported of a folder: what cannot be read, else what the checks over the whole base find."""
    readers: dict[str, Callable[[Path], object]] = {
        "rule base": load,
        "asking": lambda folder: read_asking(small_base(), folder),
        "log": read_log_words,
        "speech": lambda folder: read_vocabulary(small_base(), folder),
        "skeleton": lambda folder: write_blank(folder, *reads.split()[1:]),
    }
    try:
        readers[reads if reads in readers else reads.split()[0]](base)
    except InputError as error:
        return list(error.problems)
    return run_checks(load(base)) if reads == "rule base" else []
