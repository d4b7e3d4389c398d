"""Small folders of invented cases for the tests of the desk."""

from __future__ import annotations

import functools
import random
import re
import shutil
from pathlib import Path

import pytest

from diagnose.workbench import Workbench

__all__ = ["CLUB", "club_copy", "many_cases", "share_workbench", "write_case"]

_OPEN = Workbench.open
CLUB = Path(__file__).resolve().parents[2] / "cases" / "club"


@functools.cache
def _opened(folder: Path | None) -> Workbench:
    return _OPEN(folder)


def share_workbench(patch: pytest.MonkeyPatch) -> None:
    """Open the rule base once for all tests of a run instead of once for each command."""
    patch.setattr(Workbench, "open", _shared)


def _shared(folder: Path | None = None) -> Workbench:
    return _opened(folder)


def club_copy(tmp_path: Path) -> Path:
    """A copy of the club's folder that a test may change."""
    folder = tmp_path / "club"
    shutil.copytree(CLUB, folder)
    return folder


def write_case(folder: Path, name: str, letter: str = "The leaves are limp.", **keys: str) -> Path:
    """A case file with these keys; the value of a key is YAML as typed."""
    told = {"case": name, "received": "2026-03-02", "member": "M-01", **keys}
    lines = [f"{key}: {value}" for key, value in told.items() if value]
    body = [f"  {line}" for line in letter.splitlines()]
    path = folder / f"{name}.yaml"
    path.write_text("\n".join([*lines, "letter: |", *body]) + "\n", encoding="utf-8")
    return path


def many_cases(folder: Path, count: int) -> None:
    """So many invented cases made of those of the club, each with words, day and state of its own."""
    texts = [path.read_text(encoding="utf-8") for path in sorted(CLUB.glob("*.yaml"))]
    letters = [text for text in texts if "records:" not in text]
    chance = random.Random(1)
    for number in range(count):
        text = chance.choice(letters)
        for key, value in (("case", f"2030-{number:05d}"), ("member", f"M-{number}"),
                           ("received", f"2026-{chance.randint(1, 4):02d}-{chance.randint(1, 28):02d}"),
                           ("state", chance.choice(["new", "new", "asked", "answered", "closed"]))):
            text = re.sub(rf"^{key}: .*$", f"{key}: {value}", text, flags=re.MULTILINE)
        text = text.replace("letter: |\n", f"letter: |\n  This is my letter number {number}.\n")
        (folder / f"2030-{number:05d}.yaml").write_text(text, encoding="utf-8")
