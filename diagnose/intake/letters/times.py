"""The words of knowledge/speech/times.yaml as tables."""

from __future__ import annotations

from collections.abc import Mapping

from diagnose.frozen import frozen
from diagnose.intake.letters.stems import stem
from diagnose.intake.letters.tries import Trie, trie_of, typed_words
from diagnose.model.amounts import TimeWords

__all__ = ["NamedTime", "TimeTable", "time_table"]


@frozen
class NamedTime:
    """A time by name: days before the date (``days`` >= 0), else a day of the year, else a season's first month."""

    days: int = -1
    month: int = 0
    day: int = 0
    season: bool = False
    unsure: bool = False


@frozen
class TimeTable:
    """Numbers, units in days, and named times, by stem."""

    numbers: Mapping[str, float]
    ones: frozenset[str]
    units: Mapping[str, float]
    between: Trie[bool]
    pairs: frozenset[tuple[str, str]]
    and_half: Trie[bool]
    rate_words: frozenset[str]
    fuzzy: frozenset[str]
    ago: frozenset[str]
    last: frozenset[str]
    since: frozenset[str]
    dated: frozenset[str]
    names: Trie[NamedTime]
    now: Trie[bool]
    onset: frozenset[str]
    undone: frozenset[str]
    during: frozenset[str]
    old_days: int


def time_table(words: TimeWords) -> TimeTable:
    """Tables for the words of time."""
    names = [(word, NamedTime(days=row.days)) for row in words.days for word in row.words]
    names += [(name, NamedTime(month=month, day=15, unsure=name in words.unsure_months))
              for name, month in words.months]
    names += [(word, NamedTime(month=row.month, day=row.day)) for row in words.feasts for word in row.words]
    names += [(word, NamedTime(month=row.month, season=True, unsure=word in words.unsure_seasons))
              for row in words.seasons for word in row.words]
    units = {stem(name): days for name, days in words.units}
    return TimeTable(dict(words.numbers), frozenset(words.ones), units, typed_words(words.between),
                     frozenset(words.pairs), typed_words(words.and_half), frozenset(words.rate_words),
                     frozenset(words.fuzzy), frozenset(words.ago), frozenset(words.last),
                     frozenset(words.since), frozenset(words.dated), trie_of(names), typed_words(words.now),
                     frozenset(stem(word) for word in words.onset), frozenset(words.undone), frozenset(words.during),
                     words.old_days)

