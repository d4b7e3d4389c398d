"""Runs the console command as its users do, in a process of its own."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

__all__ = ["ROOT", "Done", "run"]

ROOT = Path(__file__).resolve().parents[2]
Done = subprocess.CompletedProcess[str]


def run(*arguments: str, text: str | None = None, cwd: Path = ROOT) -> Done:
    """``diagnose`` with these arguments and this standard input; output is text."""
    environment = {**os.environ, "COLUMNS": "80", "TERM": "dumb", "PYTHONPATH": str(ROOT)}
    return subprocess.run([sys.executable, "-m", "diagnose", *arguments], input=text if text is not None else "",
                          cwd=cwd, env=environment, capture_output=True, text=True, timeout=120, check=False)
