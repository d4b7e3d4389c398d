"""Numbers with units as measures: temperatures, humidity, feed strength, water, and how often water is given."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from typing import NamedTuple

from diagnose.intake.letters.dating import NumberAt, number_at
from diagnose.intake.letters.measures import MeasureTable, QuantityRow
from diagnose.intake.letters.times import TimeTable
from diagnose.intake.letters.tries import Trie, all_found, longest
from diagnose.intake.letters.view import View
from diagnose.intake.letters.words import NOT
from diagnose.model.amounts import Deed, UnitWords

__all__ = ["ToldMeasure", "measures_in"]

_CONTEXT_REACH = 10
_WRONG_CONTEXT_REACH = 4
_WARM_REACH = 5
_DEED_REACH = 14
_BOUND_REACH = 2
_FAR = 99
_SHORTEST_INTERVAL_DAYS, _LONGEST_INTERVAL_DAYS = 0.01, 3660  # nobody does anything more often or more seldom
_DENIED = frozenset({NOT})
_NO_UNIT = UnitWords("nothing", ())


class ToldMeasure(NamedTuple):
    """A measure told by the words from ``start`` to, without, ``end``; ``guess`` says what was assumed, ``bound``
    whether the value is told as a bound ("below", "above")."""

    measure: str
    value: float
    unit: str
    guess: str
    start: int
    end: int
    bound: str = ""


class _Amount(NamedTuple):
    """A number or range with its unit; ``tens`` says that it was told as "the 50s"."""

    low: float
    high: float
    unit: UnitWords
    tens: bool
    start: int
    end: int


def measures_in(view: View, table: MeasureTable, times: TimeTable) -> list[ToldMeasure]:
    """The measures told in a sentence."""
    told = list(_rates(view, table, times))
    if not any(_counts(word, table) for word in view.words):
        return told
    taken = {at for one in told for at in range(one.start, one.end)}
    for amount in _amounts(view, table, times):
        if amount.start not in taken:
            told += _quantities(view, table, amount)
    return told


def _counts(word: str, table: MeasureTable) -> bool:
    """Whether a word may be an amount: a number in digits or words, or one such as "forties"."""
    return word[0].isdigit() or word in table.decades or word in table.numerals


def _amounts(view: View, table: MeasureTable, times: TimeTable) -> Iterator[_Amount]:
    at = 0
    while at < len(view.words):
        amount = _amount(view, table, times, at) if _counts(view.words[at], table) else None
        if amount:
            yield amount
        at = amount.end if amount else at + 1


def _amount(view: View, table: MeasureTable, times: TimeTable, at: int) -> _Amount | None:
    decade = table.decades.get(view.words[at])
    number = NumberAt(decade, decade, at + 1) if decade is not None else number_at(view, times, at)
    if number is None:
        return None
    low, high, end, tens = number.low, number.high, number.end, decade is not None
    if end < len(view.words) and view.words[end] in table.tens_marks and low % 10 == 0:
        end, tens = end + 1, True
    if tens:
        low = high = high + table.tens.get(view.words[at - 1] if at else "", 5.0)
    if end < len(view.words) and view.stems[end] in times.units:
        return None
    unit, unit_end = _unit(view, table, at, end)
    again = longest(times.between, view.words, unit_end) if unit.words and unit_end < len(view.words) else None
    second = number_at(view, times, again.end) if again and again.end < len(view.words) else None
    if second and _unit(view, table, again.end if again else 0, second.end)[0] is unit:
        high, unit_end = second.high, second.end
    below_zero = at > 0 and view.words[at - 1] in table.minus
    if unit is _NO_UNIT and not (tens or below_zero or _stands_free(view, table, end)):
        return None
    if unit is _NO_UNIT and (below_zero or _near(view, at, end, table.warm)):
        unit = UnitWords("degrees", ())
    low, high = (-low, -high) if below_zero else (low, high)
    return _Amount(min(low, high), max(low, high), unit, tens, at, unit_end)


def _unit(view: View, table: MeasureTable, start: int, end: int) -> tuple[UnitWords, int]:
    """The unit behind or before a number, and the place where the amount ends."""
    behind = longest(table.after, view.words, end) if end < len(view.words) else None
    if behind and not view.sentence.gaps[end]:
        return behind.value, behind.end
    for first in range(max(0, start - 3), start):
        before = longest(table.before, view.words, first)
        if before and before.end == start:
            return before.value, end
    return _NO_UNIT, end


def _stands_free(view: View, table: MeasureTable, end: int) -> bool:
    """Whether no noun follows a number, of which it would be the count: "five leaves"."""
    return end >= len(view.words) or bool(view.sentence.gaps[end]) or (
        view.words[end] in table.followers or view.clauses[end] != view.clauses[end - 1])


def _near(view: View, start: int, end: int, words: frozenset[str]) -> bool:
    around = range(max(0, start - _WARM_REACH), min(len(view.words), end + _WARM_REACH))
    return any(view.words[at] in words for at in around)


def _quantities(view: View, table: MeasureTable, amount: _Amount) -> list[ToldMeasure]:
    rows = [(distance, number, row) for number, row in enumerate(table.by_unit.get(amount.unit.unit, ()))
            if (distance := _distance(view, amount, row)) is not None]
    rows.sort(key=lambda found: found[:2])
    for named in (True, False):
        near = [row for distance, _, row in rows if (distance < _FAR) is named]
        for scale, row in itertools.product(range(2), near):
            value, guess = _values(table, amount, row)[scale]
            if row.quantity.low <= value <= row.quantity.high:
                bound = _bound(view, table, amount)
                return [ToldMeasure(measure, round(value, 2), row.quantity.unit, guess, amount.start, amount.end, bound)
                        for measure in row.quantity.measures]
    return []


def _bound(view: View, table: MeasureTable, amount: _Amount) -> str:
    """Whether a number is told as a bound: "below about 16", "35 and above", but not "never below 16"."""
    before = range(max(0, amount.start - _BOUND_REACH), amount.start)
    behind = range(amount.end, min(amount.end + _BOUND_REACH, len(view.words)))
    places = [at for at in (*reversed(before), *behind) if view.words[at] in table.bounds
              and view.clauses[at] == view.clauses[amount.start]]
    denied = any(view.has_concept(at, _DENIED) for at in range(view.clause_of(amount.start)[0], amount.start))
    return table.bounds[view.words[places[0]]] if places and not denied else ""


def _distance(view: View, amount: _Amount, row: QuantityRow) -> int | None:
    """How far the nearest word of context stands; None if there must be one or a wrong one stands there."""
    if _nearest(view, amount, row.not_context) <= _WRONG_CONTEXT_REACH:
        return None
    near = _nearest(view, amount, row.context)
    if near <= _CONTEXT_REACH:
        return near
    return _FAR if row.quantity.bare else None


def _nearest(view: View, amount: _Amount, words: Trie[bool]) -> int:
    distances = [_FAR]
    for found in all_found(words, view.words):
        if found.start < amount.start:
            distances.append(view.costs[amount.start] - view.costs[found.start])
        elif found.start >= amount.end:
            distances.append(view.costs[found.start] - view.costs[amount.end - 1])
    return min(distances)


def _values(table: MeasureTable, amount: _Amount, row: QuantityRow) -> tuple[tuple[float, str], tuple[float, str]]:
    """The value in the unit of the measure with what was assumed, and the next likely one (degrees have two scales)."""
    takes = row.quantity.takes
    number = {"low": amount.low, "high": amount.high}.get(takes, (amount.low + amount.high) / 2)
    guesses = [f"read as about {number:g}"] if amount.tens else []
    if amount.low != amount.high:
        guesses.append(f"the {takes} of {amount.low:g} to {amount.high:g}")
    if amount.unit.unit == "degrees":
        fahrenheit = ((number - 32.0) * 5.0 / 9.0, "; ".join([*guesses, "degrees Fahrenheit assumed"]))
        celsius = (number, "; ".join([*guesses, "degrees Celsius assumed"]))
        least = table.fahrenheit_tens if amount.tens else table.fahrenheit_from
        return (fahrenheit, celsius) if number >= least else (celsius, fahrenheit)
    if amount.unit is _NO_UNIT or amount.unit.times < 0:
        guesses.append(f"{row.quantity.unit} assumed")
    only = ((number - amount.unit.minus) * amount.unit.times, "; ".join(guesses))
    return only, only


def _rates(view: View, table: MeasureTable, times: TimeTable) -> Iterator[ToldMeasure]:
    """What is done every so many days."""
    at = 0
    while at < len(view.words):
        found = _interval(view, table, times, at) if view.words[at] in table.rate_starts else None
        if found and _SHORTEST_INTERVAL_DAYS <= found[0] <= _LONGEST_INTERVAL_DAYS:
            days, end = found
            deed = _deed(view, table, at, end)
            for give in deed.gives if deed else ():
                value = give.over_days / days if give.over_days else days
                yield ToldMeasure(give.measure, round(value, 2), give.unit, "", at, end)
        at = found[1] if found else at + 1


def _interval(view: View, table: MeasureTable, times: TimeTable, at: int) -> tuple[float, int] | None:
    """The days between two times, and where the words for it end."""
    adverb = longest(table.adverbs, view.words, at)
    if adverb:
        return adverb.value, adverb.end
    every = longest(table.every, view.words, at)
    if every and every.end < len(view.words):
        return _counted_days(view, times, every.end)
    count = longest(table.times, view.words, at)
    per = longest(table.per, view.words, count.end) if count and count.end < len(view.words) else None
    if count and per and per.end < len(view.words) and view.stems[per.end] in times.units:
        return times.units[view.stems[per.end]] / count.value, per.end + 1
    return None


def _counted_days(view: View, times: TimeTable, at: int) -> tuple[float, int] | None:
    """Days after "every": "10 days", "week or two", "tenth day", "week"."""
    if view.stems[at] in times.units:
        days = times.units[view.stems[at]]
        between = longest(times.between, view.words, at + 1) if at + 1 < len(view.words) else None
        more = number_at(view, times, between.end) if between and between.end < len(view.words) else None
        return (days * (1 + more.high) / 2, more.end) if more else (days, at + 1)
    number = number_at(view, times, at)
    if number is None or number.end >= len(view.words) or view.stems[number.end] not in times.units:
        return None
    return (number.low + number.high) / 2 * times.units[view.stems[number.end]], number.end + 1


def _deed(view: View, table: MeasureTable, start: int, end: int) -> Deed | None:
    """What is done so often: the nearest word for it, in the same clause if there is one."""
    best: tuple[int, int, Deed] | None = None
    for found in all_found(table.deeds, view.words):
        if start <= found.start < end:
            continue
        edge = start if found.start < start else end - 1
        row = (int(view.halves[found.start] != view.halves[start]), abs(view.costs[found.start] - view.costs[edge]))
        if row[1] <= _DEED_REACH and (best is None or row < best[:2]):
            best = (*row, found.value)
    return best[2] if best else None
