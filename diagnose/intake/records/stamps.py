"""Time cells of an export become clock readings: which pattern they follow, and which comes first, day or month."""

from __future__ import annotations

import re
from collections import Counter
from typing import Final

import polars as pl

from diagnose.frozen import frozen
from diagnose.intake.records.spellings import plain_stamps

__all__ = ["AMBIGUOUS", "YEAR_FIRST", "Pattern", "looks_like_stamp", "pattern_of", "plainly_written", "read_clocks"]

_MONTH = ("(?i:jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?|sep(?:tember)?"
          "|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)")
_TIME = r"(?:[T ,]\s*|\s+)(\d{1,2}):(\d{2})(:\d{2})?(\.\d+)?(?:(\s?)([AaPp])\.?([Mm])\.?)?"
_ZONE = r"(\s?)(Z|UTC|GMT|[+-]\d{2}:?\d{2}|[+-]\d{2})?"
_DATES: Final[tuple[tuple[str, re.Pattern[str]], ...]] = (
    ("ymd", re.compile(r"(\d{4})([-/.])(\d{1,2})\2(\d{1,2})")),
    ("parts", re.compile(r"(\d{1,2})([-/.])(\d{1,2})\2(\d{4}|\d{2})(?!\d)")),
    ("dmony", re.compile(rf"(\d{{1,2}})([-/ .]+)({_MONTH})([-/ ,]+)(\d{{4}}|\d{{2}})(?!\d)")),
    ("mondy", re.compile(rf"({_MONTH})( )(\d{{1,2}})(,? )(\d{{4}})")),
    ("compact", re.compile(r"(\d{8})(?=[T ]|$)")),
)
_CLOCK = re.compile(rf"(?:{_TIME})?{_ZONE}\s*$")
_COMPACT_TIME = re.compile(rf"([T ]?)(\d{{4}}(\d{{2}})?){_ZONE}\s*$")
_NUMBER = re.compile(r"\s*(\d+([.,]\d+)?)?\s*")
AMBIGUOUS: Final = re.compile(r"^\s*(\d{1,2})([-/.])(\d{1,2})[-/.](?:\d{4}|\d{2})(?:\D|$)")
YEAR_FIRST: Final = "year-first"  # 26-02-19; never stated, only found out
# Plain numbers: days since 30 December 1899 (spreadsheets), seconds and milliseconds since 1970.
_SERIAL_DAYS: Final = (20_000.0, 80_000.0)
_EPOCH_S: Final = (1e8, 1e10)
_EPOCH_MS: Final = (1e11, 1e13)
_SERIAL_ZERO_DAYS: Final = 25_569
_MOST_PATTERNS: Final = 12
SAMPLE: Final = 50  # cells looked at for the pattern


@frozen
class Pattern:
    """How a time cell is read: a format, the letters it ends with, the shift from UTC they state, the half of the day.

    ``offset_s`` is None where no shift is stated; ``half`` is "a", "p" or empty for a clock of 24 hours.
    """

    format: str
    ending: str = ""
    offset_s: int | None = None
    half: str = ""


def looks_like_stamp(cell: str) -> bool:
    """Whether a cell holds a date, with or without a clock time, or a plain number that can be one."""
    if not any(map(str.isdigit, cell)):  # spared the many steps below
        return False
    number = re.fullmatch(r"\s*\d{5,13}([.,]\d+)?\s*", cell)
    return bool(number) or any(pattern_of(each, "day-first") for each in (cell, plain_stamps(pl.Series([cell]))[0]))


def plainly_written(cells: pl.Series) -> pl.Series:
    """The cells as they are where all that are looked at follow a pattern, else in plain spelling."""
    present = cells.drop_nulls()
    sample = present.gather_every(max(1, present.len() // SAMPLE)).to_list() if present.len() else []
    strange = [cell for cell in sample if pattern_of(cell, "day-first") is None and not _NUMBER.fullmatch(cell)]
    return plain_stamps(cells) if strange else cells


def pattern_of(cell: str, order: str) -> Pattern | None:
    """The pattern of a cell; ``order`` (day-first, month-first, year-first) decides where numbers could be either."""
    text = cell.strip()
    for kind, date in _DATES:
        found = date.match(text)
        if not found:
            continue
        rest = text[found.end():]
        compact = _COMPACT_TIME.match(rest) if kind == "compact" and rest else None
        if compact:
            time = f"{compact[1]}%H%M{'%S' if compact[3] else ''}"
            return Pattern(f"%Y%m%d{time}", f"{compact[4]}{compact[5] or ''}", _offset_s(compact[5]))
        clock = _CLOCK.match(rest)
        if clock:
            return _joined(_date_format(kind, found, order), rest, clock)
    return None


def _date_format(kind: str, found: re.Match[str], order: str) -> str:
    if kind == "ymd":
        return f"%Y{found[2]}%m{found[2]}%d"
    if kind == "compact":
        return "%Y%m%d"
    year = "%Y" if len(found[found.re.groups]) == 4 else "%y"
    if kind == "parts" and order == YEAR_FIRST:
        return f"%y{found[2]}%m{found[2]}%d"
    if kind == "parts":
        first, second = ("%d", "%m") if order == "day-first" else ("%m", "%d")
        return f"{first}{found[2]}{second}{found[2]}{year}"
    month = "%B" if len(found[1 if kind == "mondy" else 3]) > 3 else "%b"
    parts = (month, found[2], "%d") if kind == "mondy" else ("%d", found[2], month)
    return "".join((*parts, found[4], year))


def _joined(date: str, rest: str, clock: re.Match[str]) -> Pattern:
    """The pattern of a whole cell: everything but the digits of the clock time is taken as it stands."""
    if clock[1] is None:
        return Pattern(date, rest.rstrip(), _offset_s(clock[9]))
    time = "%H:%M" + (":%S" if clock[3] else "") + ("%.f" if clock[4] else "")
    ending = rest.rstrip()[max(clock.end(group) for group in (2, 3, 4)):]
    return Pattern(date + rest[: clock.start(1)] + time, ending, _offset_s(clock[9]), (clock[6] or "").casefold())


def _offset_s(zone: str | None) -> int | None:
    if not zone:
        return None
    if zone in ("Z", "UTC", "GMT"):
        return 0
    digits = zone[1:].replace(":", "").ljust(4, "0")
    return (int(digits[:2]) * 3600 + int(digits[2:]) * 60) * (-1 if zone[0] == "-" else 1)


def read_clocks(cells: pl.Series, order: str) -> pl.DataFrame:
    """``clock_s`` (the clock time shown, as seconds since 1970) and ``offset_s`` (shift from UTC stated, null if none).

    Cells that follow no known pattern give nulls. Numbers are taken as what their size makes of them.
    """
    rows = pl.DataFrame({"cell": cells}).with_row_index("at")
    done: list[pl.DataFrame] = []
    for attempt in range(_MOST_PATTERNS):
        pattern = _commonest_pattern(rows["cell"], order)
        if pattern is None:
            break
        read, rows = _read_pattern(rows, pattern)
        done.append(read)
        if rows.is_empty() or (read.is_empty() and attempt):
            break
        rows = rows.with_columns(pl.col("cell").str.strip_chars())
    if rows.height or not done:
        done.append(_numbers(rows))
    found = done[0] if len(done) == 1 else pl.concat(done).sort("at")
    return found.select("clock_s", "offset_s")


def _read_pattern(rows: pl.DataFrame, pattern: Pattern) -> tuple[pl.DataFrame, pl.DataFrame]:
    """The rows that follow a pattern, with their times, and those that do not."""
    fits = rows["cell"].str.ends_with(pattern.ending).fill_null(False)
    chosen = rows if fits.all() else rows.filter(fits)
    offset = pl.lit(pattern.offset_s, pl.Int64)
    read = chosen.select("at", "cell", _clock(pattern).alias("clock_s"), offset.alias("offset_s"))
    unread = read.filter(pl.col("clock_s").is_null()).select("at", "cell")
    left = unread if chosen is rows else pl.concat([unread, rows.filter(~fits)]).sort("at")
    return read.filter(pl.col("clock_s").is_not_null()).drop("cell") if unread.height else read.drop("cell"), left


def _commonest_pattern(cells: pl.Series, order: str) -> Pattern | None:
    present = cells.drop_nulls()
    sample = present.gather_every(max(1, present.len() // SAMPLE)).to_list() if present.len() else []
    found = Counter(pattern for pattern in (pattern_of(cell, order) for cell in sample) if pattern)
    return found.most_common(1)[0][0] if found else None


def _clock(pattern: Pattern) -> pl.Expr:
    text = pl.col("cell")
    whole = pattern.format + pattern.ending
    clock = text.str.to_datetime(whole, strict=False, cache=False, time_unit="ms").dt.epoch("s")
    if not pattern.half:
        return clock
    # 12:00 to 12:59 is the first hour of either half; an hour past it belongs to no 12-hour clock
    of_day = clock % 86_400
    within = pl.when(of_day < 46_800).then(clock - pl.when(of_day >= 43_200).then(43_200).otherwise(0))
    return within + 43_200 if pattern.half == "p" else within


def _numbers(rows: pl.DataFrame) -> pl.DataFrame:
    """Plain numbers: seconds or milliseconds since 1970 (UTC), or a spreadsheet's days (its own clock)."""
    number = pl.col("cell").str.strip_chars().str.replace(",", ".", literal=True).cast(pl.Float64, strict=False)
    days = ((number - _SERIAL_ZERO_DAYS) * 86_400).round()
    seconds = (
        pl.when(number.is_between(*_SERIAL_DAYS)).then(days)
        .when(number.is_between(*_EPOCH_S)).then(number)
        .when(number.is_between(*_EPOCH_MS)).then(number / 1000)
    ).floor().cast(pl.Int64)
    offset = pl.when(number > _SERIAL_DAYS[1]).then(pl.lit(0, pl.Int64))
    return rows.select("at", clock_s=seconds, offset_s=offset)
