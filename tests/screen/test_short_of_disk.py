"""A full disk and a read-only folder: one clear line, nothing lost, nothing half written."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from tests.screen.commands import ROOT
from tests.screen.short_of_disk import READS, WRITES

MOUNT = 'mount -t tmpfs -o size=1m none "$1" && exec "$2" -m tests.screen.short_of_disk "$1" "$3"'
WHY = {"full": "no space left on device", "read-only": "read-only file system"}


@cache
def tried(kind: str, place: Path) -> dict[str, Any]:
    """Every command on a small disk of its own that is full or read-only; skips where none can be mounted."""
    if shutil.which("unshare") is None:
        pytest.skip("no small disk can be mounted here: there is no unshare")
    done = subprocess.run(["unshare", "-rm", "sh", "-c", MOUNT, "sh", str(place), sys.executable, kind], cwd=ROOT,
                          capture_output=True, text=True, check=False, timeout=300,
                          env={**os.environ, "PYTHONPATH": str(ROOT), "PYTHONDONTWRITEBYTECODE": "1"})
    if done.returncode and any(word in done.stderr for word in ("unshare:", "mount:")):
        pytest.skip(f"no small disk can be mounted here: {done.stderr.strip().splitlines()[-1]}")
    assert done.returncode == 0, done.stderr
    found: dict[str, Any] = json.loads(done.stdout)
    return found


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where the small disks are mounted, one after the other."""
    return tmp_path_factory.mktemp("disk")


def left_over(found: dict[str, Any]) -> list[str]:
    """New files, but for what is kept of judged cases: of that, lines that are not whole are passed over when read."""
    return [name for name in found["left"] if not (name.startswith("cache/") and name.endswith(".lines"))]


@pytest.mark.parametrize("kind", WHY)
@pytest.mark.parametrize("command", WRITES)
def test_what_cannot_be_written_is_said_and_nothing_is_lost(kind: str, command: str, place: Path) -> None:
    """Status 2 and one line that says why; every file is as it was and none is left lying about."""
    found = tried(kind, place)[command]
    assert found["status"] == 2, found
    assert len(found["err"].splitlines()) == 1, found
    assert WHY[kind] in found["err"]
    assert (found["gone"], found["changed"], left_over(found)) == ([], [], [])


@pytest.mark.parametrize("kind", WHY)
@pytest.mark.parametrize("command", READS)
def test_what_only_reads_does_without_its_kept_copies(kind: str, command: str, place: Path) -> None:
    """Answers come all the same, and no half copy is kept."""
    found = tried(kind, place)[command]
    assert (found["status"], found["err"]) == (0, "")
    assert found["out"]
    assert (found["gone"], found["changed"]) == ([], [])
    assert left_over(found) == []


def test_with_room_again_the_log_goes_on(place: Path) -> None:
    """What failed on the full disk is done at once when there is room."""
    found = tried("full", place)["with room again"]
    assert (found["status"], found["changed"]) == (0, ["bench/.care-added", "bench/care.csv"])
