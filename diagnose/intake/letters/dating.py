"""Finds when things were: "two weeks ago", "since September", "five months I have it"."""

from __future__ import annotations

import datetime as dt
from enum import StrEnum
from typing import NamedTuple

from diagnose.intake.letters.times import NamedTime, TimeTable
from diagnose.intake.letters.tries import Found, longest
from diagnose.intake.letters.view import View

__all__ = ["NumberAt", "TimeSpan", "Told", "number_at", "times_in"]

_DATED_REACH = 2
_NOW_REACH = 4
_DAYS_A_YEAR = 365
_HALF_SEASON_DAYS = 45
_MOST_DAYS = 36_500


class Told(StrEnum):
    """How a time is told: so long ago, since a time, as a stretch of time, or as the time of writing."""

    AGO = "ago"
    SINCE = "since"
    STRETCH = "stretch"
    NOW = "now"


class TimeSpan(NamedTuple):
    """A time told by the words from ``start`` to, without, ``end``."""

    told: Told
    days: int
    start: int
    end: int


class NumberAt(NamedTuple):
    """A number or range told by the words up to, without, ``end``."""

    low: float
    high: float
    end: int


def number_at(view: View, table: TimeTable, at: int) -> NumberAt | None:
    """The number or range that begins at a word: "two or three", "8-10", "65 to 75", "a couple", "twenty two"."""
    first = _single(view, table, at)
    if first is None:
        return None
    end = at + 1
    if first >= 20 and first % 10 == 0 and view.words[at] in table.numbers and _is_one(view, table, end):
        first, end = first + table.numbers[view.words[end]], end + 1
    if end >= len(view.words) or view.sentence.gaps[end]:
        return NumberAt(first, first, end)
    half = longest(table.and_half, view.words, end)
    if half:
        return NumberAt(first + 0.5, first + 0.5, half.end)
    pair = at > 0 and (view.words[at - 1], view.words[end]) in table.pairs
    between = Found(end, end + 1, True) if pair else longest(table.between, view.words, end)
    if between and between.end < len(view.words) and not view.sentence.gaps[between.end]:
        second = _single(view, table, between.end)
        if second is not None and second != first:
            return NumberAt(min(first, second), max(first, second), between.end + 1)
    return NumberAt(first, first, end)


def _is_one(view: View, table: TimeTable, at: int) -> bool:
    return at < len(view.words) and view.words[at] in table.ones and not view.sentence.gaps[at]


def _single(view: View, table: TimeTable, at: int) -> float | None:
    word = view.words[at]
    if word[0].isdigit():
        return _digits(word)
    return table.numbers.get(word)


def _digits(word: str) -> float | None:
    """A number as typed; a comma before three digits groups thousands, else it is a decimal mark."""
    head, comma, tail = word.partition(",")
    text = head + tail if comma and len(tail) == 3 and tail.isdigit() else word.replace(",", ".")
    try:
        number = float(text)
    except ValueError:
        return None
    return number if number < 1e9 else None


def times_in(view: View, table: TimeTable, date: dt.date, south: bool) -> list[TimeSpan]:
    """The times told in a sentence, from left to right."""
    spans: list[TimeSpan] = []
    at = 0
    while at < len(view.words):
        word = view.words[at]
        counted = _counted(view, table, at) if word in table.numbers or word[0].isdigit() else None
        span = counted or (_named(view, table, at, date, south) if view.stems[at] in table.names else None)
        if span:
            spans.append(span)
        at = span.end if span else at + 1
    return spans


def _counted(view: View, table: TimeTable, at: int) -> TimeSpan | None:
    number = number_at(view, table, at)
    if number is None or _is_rate(view, table, at):
        return None
    end = number.end
    while end < len(view.words) and view.words[end] in table.fuzzy and view.words[end] not in table.since:
        end += 1
    if end >= len(view.words) or view.stems[end] not in table.units:
        return None
    days = (number.low + number.high) / 2 * table.units[view.stems[end]]
    if not 0 <= days < _MOST_DAYS:
        return None
    return _directed(view, table, at, end + 1, round(days))


def _is_rate(view: View, table: TimeTable, at: int) -> bool:
    """Whether "every two weeks" or "once a week" stands here, which tells how often and not when."""
    before = view.words[max(0, at - 1) : at]
    return bool(before) and before[0] in table.rate_words


def _directed(view: View, table: TimeTable, start: int, end: int, days: int) -> TimeSpan:
    following = view.words[end : end + 3]
    steps = 0
    while steps < len(following) and following[steps] in table.fuzzy:
        steps += 1
    if steps < len(following) and following[steps] in table.ago and not view.sentence.gaps[end + steps]:
        return TimeSpan(Told.AGO, days, start, end + steps + 1)
    before = view.words[max(0, start - _DATED_REACH) : start]
    if any(word in table.since for word in before):
        return TimeSpan(Told.SINCE, days, start, end)
    return TimeSpan(Told.STRETCH, days, start, end)


def _named(view: View, table: TimeTable, at: int, date: dt.date, south: bool) -> TimeSpan | None:
    found = longest(table.names, view.stems, at)
    if not found:
        return None
    before = view.words[max(0, at - _DATED_REACH) : at]
    if found.value.unsure and not any(word in table.dated for word in before):
        return None
    last = bool(before) and before[-1] in table.last
    days = _days_back(found.value, date, south, last, _day_of_month(view, at, found.end))
    since = any(word in table.since for word in before)
    told = Told.NOW if found.value.month and _is_now(view, table, at) else Told.SINCE if since else Told.AGO
    return TimeSpan(told, days, at, found.end)


def _is_now(view: View, table: TimeTable, at: int) -> bool:
    """Whether the letter says that it is written then: "it's january", "sent in early november"."""
    for start in range(max(0, at - _NOW_REACH), at):
        now = longest(table.now, view.words, start)
        if now and all(word in table.dated for word in view.words[now.end : at]):
            return True
    return False


def _day_of_month(view: View, start: int, end: int) -> int:
    """The day that stands beside the name of a month: "february 10", "10 february"."""
    for at in (end, start - 1):
        word = view.words[at] if 0 <= at < len(view.words) else ""
        if word.isdecimal() and len(word) <= 2 and 1 <= int(word) <= 31:
            return int(word)
    return 0


def _days_back(name: NamedTime, date: dt.date, south: bool, last: bool, day: int) -> int:
    if name.days >= 0:
        return name.days
    month = (name.month + 5) % 12 + 1 if name.season and south else name.month
    then = _on_day(date.year, month, 1 if name.season else day or name.day)
    if name.season:
        then += dt.timedelta(days=_HALF_SEASON_DAYS)
    days = (date - then).days
    if name.season and -_HALF_SEASON_DAYS <= days < 0 and not last:
        return 0
    days = days % _DAYS_A_YEAR if days < 0 or days >= _DAYS_A_YEAR else days
    if last and name.season and days < _HALF_SEASON_DAYS:
        days += _DAYS_A_YEAR
    return days


def _on_day(year: int, month: int, day: int) -> dt.date:
    return dt.date(year, month, 1) + dt.timedelta(days=min(day, 28) - 1) if day > 28 else dt.date(year, month, day)
