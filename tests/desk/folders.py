"""Small folders of invented cases for the tests of the desk."""

from __future__ import annotations

import functools
import shutil
from pathlib import Path

import pytest

from diagnose.workbench import Workbench

__all__ = ["CLUB", "club_copy", "share_workbench", "write_case"]

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
