"""Options that several commands share."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Annotated

import typer

from diagnose.model.days import FIRST_DAY, LAST_DAY, day_of
from diagnose.problems import InputError, Where
from diagnose.screen.harmless import harmless

__all__ = ["MOST_CODE", "KnowledgeOption", "read_date", "read_words"]

MOST_CODE = 40
KnowledgeOption = Annotated[Path | None, typer.Option("--knowledge", metavar="DIR",
                                                      help="A rule base; by default the own one.")]


def read_words(text: str, option: str, most: int) -> str:
    """Words that are kept in a file, blanks folded. Raises InputError for control characters and for too many."""
    folded = " ".join(text.split())
    if len(folded) > most or harmless(folded) != folded:
        what = f"is longer than {most} characters" if len(folded) > most else "holds control characters"
        raise InputError.one(Where(option), "bad-words", f"What is given here {what}.", "Write plain words.")
    return folded


def read_date(text: str | None, today: dt.date, option: str = "--date") -> dt.date:
    """A date written YYYY-MM-DD; today where none is given. Raises InputError."""
    if text is None:
        return today
    day = day_of(text)
    if day is None:
        raise InputError.one(Where(option), "bad-date", f'"{text}" is not a date.',
                             f"Write YYYY-MM-DD, from {FIRST_DAY.year} to {LAST_DAY.year}.")
    return day
