"""A logger export as bytes becomes lines of cells: encoding, delimiter, header line, width."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from diagnose.frozen import frozen
from diagnose.intake.records.columns import Heading, read_heading
from diagnose.intake.records.stamps import looks_like_stamp
from diagnose.problems import InputError, Where, nearest

__all__ = ["Export", "open_export", "repaired", "split_cells", "to_utf8"]

DELIMITERS: Final = ("\t", ";", ",", "|")
CODE_PAGES: Final = ("cp1252", "cp1250", "cp1251", "cp932", "gb18030")  # the likeliest first
SAMPLE_BYTES: Final = 64_000
SAMPLE_LINES: Final = 400
HEADER_LINES: Final = 100
HEADERS_TRIED: Final = 10  # lines that could be the header, of which one must be followed by a time stamp
EXPECTED_NAMES: Final = ("time", "date", "temperature", "humidity", "light")


@frozen
class Export:
    """An export split at its header: the readings are the UTF-8 ``text`` from ``start`` to ``end``.

    ``header_line`` counts from 1; ``width`` is the number of cells of the widest line; ``cut_line`` is the number of
    a last line that breaks off (0 if none), which stands after ``end``.
    """

    text: bytes
    start: int
    end: int
    heading: Heading
    header_line: int
    delimiter: str
    width: int
    cut_line: int = 0


def to_utf8(raw: bytes) -> bytes:
    """The same text in UTF-8 without byte order mark: UTF-8, UTF-16 with or without mark, else a code page.

    Of several code pages that is taken under which most columns of the header are known, Windows-1252 for want of any.
    Bare carriage returns become line feeds; zero bytes (a write that power failure cut short) are dropped.
    """
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        raw = raw.decode("utf-16", errors="replace").encode()
    elif raw[1:200:2].count(0) > 50 or raw[0:200:2].count(0) > 50:
        raw = raw.decode("utf-16-le" if raw[1:200:2].count(0) > 50 else "utf-16-be", errors="replace").encode()
    raw = raw.removeprefix(b"\xef\xbb\xbf")
    if not raw.isascii():
        try:
            raw.decode("utf-8")
        except UnicodeDecodeError:
            raw = raw.decode(_code_page(raw), errors="replace").encode()
    if b"\0" in raw:
        raw = raw.replace(b"\0", b"")
    return raw if b"\n" in raw or b"\r" not in raw else raw.replace(b"\r", b"\n")


def _code_page(raw: bytes) -> str:
    lines = raw[:SAMPLE_BYTES // 16].split(b"\n")[:HEADER_LINES]

    def known(encoding: str) -> int:
        headings = (read_heading(split_cells(text, mark)) for line in lines
                    for text in [line.decode(encoding, errors="replace")] for mark in DELIMITERS if mark in text)
        return max((heading.known for heading in headings if heading.usable), default=0)
    return max(CODE_PAGES, key=known)


def repaired(text: str) -> str:
    """Text whose UTF-8 was once read as Windows-1252 and saved again, as it was meant: ``Â°C`` is ``°C``."""
    if "Â" not in text and "Ã" not in text:
        return text
    try:
        return text.encode("cp1252").decode("utf-8")
    except UnicodeError:
        return text


def split_cells(line: str, delimiter: str) -> list[str]:
    """The cells of one line; a quotation mark that is not closed does not reach into the next line."""
    try:
        return next(csv.reader([line], delimiter=delimiter), [])
    except csv.Error:
        return line.split(delimiter)


def open_export(raw: bytes, shown: str) -> Export | None:
    """Split an export at its header; None where it holds no line at all.

    Raises InputError where no header is found, or where lines hold more cells than the header names.
    """
    text = to_utf8(raw)
    sample = [repaired(line) for line in text[:SAMPLE_BYTES].decode(errors="replace").splitlines()[:SAMPLE_LINES]]
    if not any(line.strip(" \t,;\"") for line in sample):
        return None
    at, delimiter, heading = _with_unit_line(sample, *_find_header(sample, shown))
    after = [split_cells(line, delimiter) for line in sample[at + 1:]]
    whole = len(text) <= SAMPLE_BYTES and len(sample) < SAMPLE_LINES
    width = _width(after if whole else after[:-1], heading, Where(shown, at + 2), bool(whole and text[-1:] != b"\n"))
    start = 0
    for _ in range(at + 1):
        start = text.find(b"\n", start) + 1 or len(text)
    end, cut_line = _whole_lines(text, start, delimiter, at + 2)
    return Export(text, start, end, heading, at + 1, delimiter, width, cut_line)


def _find_header(sample: Sequence[str], shown: str) -> tuple[int, str, Heading]:
    """The first line that names a time and a quantity, best one that is followed by a time stamp in that column."""
    unproved: list[tuple[int, str, Heading]] = []
    for at, line in enumerate(sample[:HEADER_LINES]):
        splits = [(read_heading(split_cells(line, mark)), mark) for mark in DELIMITERS if mark in line]
        for heading, delimiter in sorted((pair for pair in splits if pair[0].usable), key=lambda pair: -pair[0].width):
            if _is_followed_by_stamp(heading, [split_cells(row, delimiter) for row in sample[at + 1: at + 4]]):
                return at, delimiter, heading
            unproved.append((at, delimiter, heading))
        if len(unproved) >= HEADERS_TRIED:
            break
    if unproved:
        return unproved[0]
    first = next(line.strip() for line in sample if line.strip())
    word = split_cells(first, max(DELIMITERS, key=first.count))[-1].strip()
    words = f'No line names a time and a temperature, humidity or light; found "{first[:60]}".'
    hint = nearest(word.casefold(), EXPECTED_NAMES)
    if any(map(str.isdigit, word)):
        hint = "Write a first line that names the columns, such as: time,temp_c,rh"
    raise InputError.one(Where(shown, 1), "no-header", words, hint)


def _with_unit_line(sample: Sequence[str], at: int, delimiter: str, heading: Heading) -> tuple[int, str, Heading]:
    """Units that stand in a line of their own below the header belong to it."""
    below = split_cells(sample[at + 1], delimiter) if at + 1 < len(sample) else []
    if len(below) != heading.width or any(any(map(str.isdigit, cell)) for cell in below):
        return at, delimiter, heading
    units = read_heading([f"{name} {unit}" for name, unit in zip(heading.names, below, strict=True)])
    found = replace(heading, temperature_unit=heading.temperature_unit or units.temperature_unit,
                    light_unit=heading.light_unit or units.light_unit)
    return (at, delimiter, heading) if found == heading else (at + 1, delimiter, found)


def _is_followed_by_stamp(heading: Heading, rows: Sequence[Sequence[str]]) -> bool:
    column = heading.date if heading.date is not None else heading.time
    return column is not None and any(looks_like_stamp(row[column]) for row in rows if len(row) > column)


def _width(rows: Sequence[Sequence[str]], heading: Heading, first: Where, cut: bool) -> int:
    """Cells of the widest line. More filled cells than the header names mean unquoted decimal commas: refused."""
    checked = rows[:-1] if cut and len(rows) > 1 else rows
    for number, cells in enumerate(checked, first.line):
        filled = len(cells) - next((n for n, cell in enumerate(reversed(cells)) if cell.strip()), len(cells))
        if filled > heading.width:
            words = f"{filled} cells stand here, the header names {heading.width}."
            hint = "Are decimal commas mixed up with those between the cells? Export with decimal points or semicolons."
            raise InputError.one(Where(first.file, number), "too-many-cells", words, hint)
    return max([heading.width, *(len(cells) for cells in rows)])


def _whole_lines(text: bytes, start: int, delimiter: str, first_line: int) -> tuple[int, int]:
    """The end of the whole lines, and the number of a last line that breaks off, 0 if none does.

    A last line without line end and with fewer cells than the line before it was cut short when memory ran full.
    """
    last = text.rfind(b"\n") + 1
    if last <= start or last == len(text):
        return len(text), 0
    before = text[text.rfind(b"\n", 0, last - 1) + 1: last - 1]
    widths = [len(split_cells(line.decode(errors="replace").strip(), delimiter)) for line in (before, text[last:])]
    return (last, first_line + text.count(b"\n", start)) if widths[1] < widths[0] else (len(text), 0)
