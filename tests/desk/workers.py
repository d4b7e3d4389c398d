"""Processes that change case files at the same time, for the tests."""

from __future__ import annotations

import datetime as dt
import os
from pathlib import Path

from diagnose.desk.change import do
from diagnose.model.cases import Deed

__all__ = ["change_many"]


def change_many(folder: Path, by: str, count: int, log: Path) -> None:
    """Take cases in turn, so many times; each change is noted in the log once it is known to be written."""
    files = sorted(folder.glob("*.yaml"))
    with log.open("a", encoding="utf-8") as notes:
        for number in range(count):
            deed = Deed("take", by, dt.date(2026, 4, 22), note=f"{by} no {number}")
            do(files[number % len(files)], folder, deed, take_over=True)
            notes.write(f"{deed.note}\n")
            notes.flush()
            os.fsync(notes.fileno())
