"""Reads many letters from a file with one JSON object a line."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterator
from pathlib import Path

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from diagnose.intake.letter_files import MOST_BYTES
from diagnose.model.days import FIRST_DAY, LAST_DAY
from diagnose.problems import InputError, Where

__all__ = ["LetterLine", "LineFault", "read_letter_lines"]


class LetterLine(BaseModel):
    """One line of a file of letters."""

    model_config = ConfigDict(frozen=True, extra="ignore")

    id: str | int
    letter: str
    date: dt.date | None = Field(None, ge=FIRST_DAY, le=LAST_DAY)
    group: str | None = None
    stage: str | None = None
    medium: str | None = None
    records: str | None = None
    plant: str | None = None


class LineFault(BaseModel):
    """A line that could not be read, with its id if it has one."""

    model_config = ConfigDict(frozen=True)

    id: str | int | None
    error: str


def read_letter_lines(path: Path) -> Iterator[LetterLine | LineFault]:
    """Each line of a file of letters, in order; a bad line comes as a fault. Raises InputError for the file itself."""
    try:
        with path.open("rb") as file:
            for number, raw in enumerate(file, 1):
                if raw.strip():
                    yield _read_line(raw, f"{path}:{number}")
    except OSError as error:
        raise InputError.one(Where(str(path)), "cannot-be-read",
                             f"This file cannot be read: {(error.strerror or 'unknown').lower()}.") from error


def _read_line(raw: bytes, where: str) -> LetterLine | LineFault:
    found: object = None
    try:
        found = json.loads(raw.decode("utf-8-sig"))
        line = LetterLine.model_validate(found)
    except ValidationError as error:
        first = error.errors(include_url=False, include_context=False, include_input=False)[0]
        place = ".".join(str(part) for part in first["loc"]) or "the line"
        return LineFault(id=_id_of(found), error=f"{where}: {place}: {first['msg'].lower()}")
    except (ValueError, RecursionError):
        return LineFault(id=_id_of(found), error=f"{where}: this line is not a JSON object in UTF-8.")
    if not line.letter.strip():
        return LineFault(id=line.id, error=f"{where}: the letter is empty.")
    if "\0" in (line.records or ""):
        return LineFault(id=line.id, error=f"{where}: records: this is not the path of a folder.")
    if len(line.letter) > MOST_BYTES:
        return LineFault(id=line.id, error=f"{where}: the letter is longer than {MOST_BYTES:,} characters.")
    return line


def _id_of(found: object) -> str | int | None:
    value = found.get("id") if isinstance(found, dict) else None
    return value if isinstance(value, (str, int)) else None
