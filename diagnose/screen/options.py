"""Options that several commands share."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Annotated

import typer

from diagnose.model.days import FIRST_DAY, LAST_DAY, day_of
from diagnose.problems import InputError, Where

__all__ = ["KnowledgeOption", "read_date"]

KnowledgeOption = Annotated[Path | None, typer.Option("--knowledge", metavar="DIR",
                                                      help="A rule base; by default the own one.")]


def read_date(text: str | None, today: dt.date, option: str = "--date") -> dt.date:
    """A date written YYYY-MM-DD; today where none is given. Raises InputError."""
    if text is None:
        return today
    day = day_of(text)
    if day is None:
        raise InputError.one(Where(option), "bad-date", f'"{text}" is not a date.',
                             f"Write YYYY-MM-DD, from {FIRST_DAY.year} to {LAST_DAY.year}.")
    return day
