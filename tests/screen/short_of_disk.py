"""Runs every command that writes in a folder that is full or read-only: ``FOLDER full|read-only``, JSON to stdout."""

from __future__ import annotations

import contextlib
import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

from tests.desk.folders import CLUB
from tests.intake.records.folders import DATE, write_folder
from tests.measure.mutation_kinds import Trial
from tests.measure.mutations import done, opened_once
from tests.small import small_folder

__all__ = ["READS", "WRITES"]

DAY = ("--date", DATE.isoformat())
WRITES = {
    "log": ("log", "--records", "bench", *DAY, "fed P-07 150 ppm N"), "undo": ("log", "--records", "bench", "--undo"),
    "first log": ("log", "--records", "new-bench", *DAY, "watered all"),
    "state": ("triage", "club", *DAY, "--case", "2026-018", "--do", "take", "--by", "V-1"),
    "answer": ("triage", "club", *DAY, "--case", "2026-018", "--do", "answer", "--by", "V-1"),
    "draft": ("triage", "club", *DAY, "--case", "2026-018", "--reply"),
    "outcome": ("outcome", "club/2026-018.yaml", "--cause", "mealybug", "--result", "better", "--on", "2026-05-30"),
    "intake": ("triage", "club", *DAY, "--add", "letter.txt"),
    "club": ("triage", "club", *DAY, "--frequencies", "book"),
    "list page": ("triage", "club", *DAY, "--html", "page.html"),
    "case page": ("triage", "club", *DAY, "--case", "2026-018", "--html", "page.html"),
    "letter page": ("letter", "letter.txt", *DAY, "--html", "page.html"),
    "answers page": ("ask", "--answers", "answers.yaml", *DAY, "--html", "page.html"),
    "new cause": ("knowledge", "new", "made_up", "--kind", "pest", "--folder", "base"),
}
READS = {"list": ("triage", "club", *DAY, "--json"), "letter": ("letter", "letter.txt", *DAY, "--json"),
         "outlook": ("outlook", "--records", "bench", *DAY)}


def contents() -> dict[str, str]:
    """Every file with its bytes as text, but the locks, which are empty."""
    return {str(path): path.read_bytes().hex() for path in sorted(Path().rglob("*"))
            if path.is_file() and path.name != ".diagnose.lock"}


def furnish() -> None:
    """Good files to work with, and an old page."""
    care = "2026-02-01,P-07,water,,,\n"
    write_folder(Path("bench"), care=care)
    write_folder(Path("new-bench"))
    Path("club").mkdir()
    for path in (CLUB / "2026-018.yaml", CLUB / "2026-001.yaml"):
        shutil.copy(path, "club")
    shutil.copytree(small_folder(), "base")
    Path("letter.txt").write_text("The leaves are limp and the roots are brown.\n")
    Path("answers.yaml").write_text("leaf_limp: yes\n")
    Path("page.html").write_text("an old page")
    done(Trial(("log", "--records", "bench", *DAY, "watered all")))  # something to undo


def fill() -> None:
    """Leave no room at all."""
    with contextlib.suppress(OSError), open("filler", "ab", buffering=0) as file:
        while True:
            file.write(b"x" * 512)


def tried(arguments: tuple[str, ...]) -> dict[str, object]:
    """What came of a command, and which files are not as they were."""
    before = contents()
    status, _, out, err = done(Trial(arguments))
    after = contents()
    return {"status": status, "out": out, "err": err, "gone": sorted(before.keys() - after.keys()),
            "changed": sorted(name for name in before if after.get(name, "") != before[name]),
            "left": sorted(after.keys() - before.keys())}


def main() -> None:
    """Furnish, take the room away, try everything, give it back, and try once more."""
    os.chdir(sys.argv[1])
    furnish()
    if sys.argv[2] == "full":
        fill()
    else:
        subprocess.run(["mount", "-o", "remount,ro", "."], check=True)
    os.environ |= {"XDG_CACHE_HOME": os.path.join(os.getcwd(), "cache"), "XDG_STATE_HOME": os.getcwd()}
    with opened_once():
        found = {name: tried(arguments) for name, arguments in {**WRITES, **READS}.items()}
        if sys.argv[2] == "full":
            Path("filler").unlink()
            found["with room again"] = tried(WRITES["log"])
    print(json.dumps(found))


if __name__ == "__main__":
    main()
