"""How soon an answer is there, in processor time: ``python -m tests.measure.speed``.

A first answer is set against merely importing the libraries in a fresh interpreter, both by turns; letters a second are
those of one long file, less what a first answer takes. Every figure is a median.
"""

from __future__ import annotations

import json
import os
import resource
import subprocess
import sys
import tempfile
from collections.abc import Mapping, Sequence
from pathlib import Path
from statistics import median

__all__ = ["main"]

ROOT = Path(__file__).resolve().parents[2]
DEMO = ROOT / "cases" / "demo"
TURNS = 9
LIBRARIES = "import typer, pydantic, yaml, rapidfuzz, durable.lang"
LETTER = (sys.executable, "-m", "diagnose", "letter", "--date", "2026-02-14")


def commands(lines: Path) -> dict[str, Sequence[str]]:
    """The commands that are measured, by name."""
    one = (*LETTER, str(DEMO / "letter.txt"), "--json")
    return {
        "libraries": (sys.executable, "-c", LIBRARIES),
        "letter": one,
        "letter with records": (*one, "--records", str(DEMO / "records"), "--plant", "P-21"),
        "many letters": (*LETTER, "--jsonl", str(lines)),
    }


def processor_s(command: Sequence[str]) -> float:
    """Processor seconds of a command, its own and the system's."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    subprocess.run(command, stdout=subprocess.DEVNULL, check=True, cwd=ROOT,
                   env={**kept, "OPENBLAS_NUM_THREADS": "1"})
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def letters() -> list[str]:
    """The letters of both files, as lines to be answered."""
    texts = [json.loads(line) for name in ("letters_dev", "letters_invented")
             for line in (ROOT / "tests" / "data" / f"{name}.jsonl").read_text(encoding="utf-8").splitlines()]
    return [json.dumps({"id": text["id"], "letter": text["letter"]}) for text in texts]


def measured(by_name: Mapping[str, Sequence[str]]) -> dict[str, float]:
    """The median of each command, all of them by turns, after one turn that fills the caches."""
    turns = [{name: processor_s(command) for name, command in by_name.items()} for _ in range(TURNS + 1)]
    return {name: median(turn[name] for turn in turns[1:]) for name in by_name}


def main() -> None:
    """Print the figures."""
    lines = letters()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "letters.jsonl"
        path.write_text("\n".join(lines) + "\n", encoding="utf-8")
        found = measured(commands(path))
    for name in ("letter", "letter with records"):
        print(f"{name}: {found[name] * 1000:.0f} ms, {found[name] / found['libraries']:.2f} times the libraries")
    print(f"letters a second: {len(lines) / (found['many letters'] - found['letter']):.0f}")


if __name__ == "__main__":
    main()
