"""The transcripts of README.md: each is run again, and must print what README shows.

``python -m tests.transcripts`` writes the present output into README.md, for review as a change.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

__all__ = ["README", "Transcript", "run", "transcripts"]

ROOT = Path(__file__).resolve().parent.parent
README = ROOT / "README.md"
_BLOCK = re.compile(r"^```console\n\$ (?P<command>[^\n]+)\n(?P<output>.*?)^```$", re.MULTILINE | re.DOTALL)


@dataclass(frozen=True, slots=True)
class Transcript:
    """A command of README with the output shown there."""

    command: str
    output: str


def transcripts() -> Iterator[Transcript]:
    """Every transcript of README, in order."""
    for match in _BLOCK.finditer(README.read_text(encoding="utf-8")):
        yield Transcript(match["command"], match["output"])


def run(command: str) -> str:
    """The output of a README command in a plain terminal of 80 columns; trailing blanks fall away."""
    environment = {**os.environ, "COLUMNS": "80", "TERM": "dumb", "NO_COLOR": "1",
                   "PATH": f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}"}
    done = subprocess.run(command, shell=True, cwd=ROOT, env=environment, capture_output=True, text=True,
                          timeout=120, check=False)
    return "".join(f"{line.rstrip()}\n" for line in (done.stdout + done.stderr).splitlines())


def _renewed(match: re.Match[str]) -> str:
    return f"```console\n$ {match['command']}\n{run(match['command'])}```"


if __name__ == "__main__":
    README.write_text(_BLOCK.sub(_renewed, README.read_text(encoding="utf-8")), encoding="utf-8")
