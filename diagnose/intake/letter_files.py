"""Reads a letter from a file or an open stream."""

from __future__ import annotations

from pathlib import Path
from typing import BinaryIO

from diagnose.problems import InputError, Where

__all__ = ["MOST_LETTER", "decode_letter", "read_letter"]

MOST_LETTER = 100_000  # bytes or characters: a long evening's reading, and a second's for the reader


def read_letter(path: Path, most: int = MOST_LETTER) -> str:
    """The letter of a file, of ``most`` bytes. Raises InputError if it is missing, empty, longer or not text."""
    try:
        with path.open("rb") as file:
            return decode_letter(file, str(path), most)
    except OSError as error:
        raise InputError.one(Where(str(path)), "cannot-be-read",
                             f"This letter cannot be read: {(error.strerror or 'unknown').lower()}.") from error


def decode_letter(file: BinaryIO, name: str, most: int = MOST_LETTER) -> str:
    """The letter of an open binary file. Raises InputError if it is empty, too long or not text."""
    raw = file.read(most + 1)
    where = Where(name)
    if len(raw) > most:
        raise InputError.one(where, "letter-too-long", f"This letter is longer than {most:,} bytes.",
                             "Send the part that describes the plant.")
    if b"\0" in raw and not raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise InputError.one(where, "not-text", "This is not a text file.", "A letter is plain text.")
    text = _decoded(raw, where)
    if not text.strip():
        raise InputError.one(where, "empty-letter", "This letter is empty.", "Describe what is seen on the plant.")
    return text


def _decoded(raw: bytes, where: Where) -> str:
    for encoding in ("utf-16" if raw.startswith((b"\xff\xfe", b"\xfe\xff")) else "utf-8-sig", "cp1252"):
        try:
            return raw.decode(encoding)
        except UnicodeDecodeError:
            continue
    raise InputError.one(where, "not-text", "This is not text in a known encoding.", "Save it as UTF-8.")
