"""Reads many letters from a file with one JSON object a line."""

from __future__ import annotations

import datetime as dt
import errno
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Annotated, BinaryIO, Final

from pydantic import BaseModel, BeforeValidator, ConfigDict, ValidationError
from pydantic_core import PydanticCustomError

from diagnose.intake.letter_files import MOST_LETTER
from diagnose.model.days import FIRST_DAY, LAST_DAY, day_of
from diagnose.problems import InputError, Where

__all__ = ["LetterLine", "LineFault", "read_letter_lines"]

MOST_LINE: Final = 8 * MOST_LETTER  # bytes; six are the most that JSON takes for a character
MOST_PIECES: Final = 100


def _written_day(value: object) -> dt.date | None:
    """A day as it is written everywhere else; a number is none, though it could be taken for seconds since 1970."""
    day = day_of(value) if isinstance(value, str) else None
    if value is not None and day is None:
        raise PydanticCustomError(
            "day", f"this is not a day; write it as 2026-03-02, from {FIRST_DAY.year} to {LAST_DAY.year}")
    return day


class LetterLine(BaseModel):
    """One line of a file of letters."""

    model_config = ConfigDict(frozen=True, extra="ignore")

    id: str | int
    letter: str
    date: Annotated[dt.date | None, BeforeValidator(_written_day)] = None
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
            for number, raw in enumerate(_lines(file), 1):
                if raw.strip():
                    yield _read_line(raw, f"{path}:{number}")
    except OSError as error:
        raise InputError.one(Where(str(path)), "cannot-be-read",
                             f"This file cannot be read: {(error.strerror or 'unknown').lower()}.") from error


def _lines(file: BinaryIO) -> Iterator[bytes]:
    """The lines of a file; of one that is too long a little more than what is too long, not the rest of it.

    Raises OSError where a line goes on and on, as on a device that never ends.
    """
    while raw := file.readline(MOST_LINE + 1):
        yield raw
        for _ in range(MOST_PIECES):
            if not raw or raw.endswith(b"\n"):
                break
            raw = file.readline(MOST_LINE)
        else:
            raise OSError(errno.EFBIG, "a line of it does not end")


def _read_line(raw: bytes, where: str) -> LetterLine | LineFault:
    if len(raw) > MOST_LINE:
        return LineFault(id=None, error=f"{where}: this line is longer than {MOST_LINE:,} bytes.")
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
    if len(line.letter) > MOST_LETTER:
        return LineFault(id=line.id, error=f"{where}: the letter is longer than {MOST_LETTER:,} characters.")
    return line


def _id_of(found: object) -> str | int | None:
    value = found.get("id") if isinstance(found, dict) else None
    return value if isinstance(value, (str, int)) else None
