"""The words of knowledge/speech/quantities.yaml as tables."""

from __future__ import annotations

from collections.abc import Mapping

from diagnose.frozen import frozen
from diagnose.intake.letters.tries import Trie, trie_of, typed_words
from diagnose.model.amounts import Deed, Quantity, QuantityWords, UnitWords

__all__ = ["MeasureTable", "QuantityRow", "measure_table"]


@frozen
class QuantityRow:
    """A quantity with its words of context as tables."""

    quantity: Quantity
    context: Trie[bool]
    not_context: Trie[bool]


@frozen
class MeasureTable:
    """Units behind and before a number, quantities by unit, and the words of how often."""

    after: Trie[UnitWords]
    before: Trie[UnitWords]
    by_unit: Mapping[str, tuple[QuantityRow, ...]]
    warm: frozenset[str]
    fahrenheit_from: float
    fahrenheit_tens: float
    tens: Mapping[str, float]
    tens_marks: frozenset[str]
    decades: Mapping[str, float]
    minus: frozenset[str]
    numerals: frozenset[str]
    followers: frozenset[str]
    bounds: Mapping[str, str]
    every: Trie[bool]
    per: Trie[bool]
    rate_starts: frozenset[str]
    times: Trie[float]
    adverbs: Trie[float]
    deeds: Trie[Deed]


def measure_table(words: QuantityWords) -> MeasureTable:
    """Tables for the words of quantities."""
    after = [(word, unit) for unit in words.units for word in unit.words if not unit.before]
    before = [(word, unit) for unit in words.units for word in unit.words if unit.before]
    by_unit: dict[str, list[QuantityRow]] = {}
    for quantity in words.quantities:
        row = QuantityRow(quantity, typed_words(quantity.context), typed_words(quantity.not_context))
        for unit in quantity.units:
            by_unit.setdefault(unit, []).append(row)
    rates = words.rates
    deeds = [(word, deed) for deed in rates.deeds for word in deed.words]
    every, counts, adverbs = typed_words(rates.every), trie_of(rates.times, str), trie_of(rates.adverbs, str)
    return MeasureTable(
        trie_of(after, str), trie_of(before, str), {unit: tuple(rows) for unit, rows in by_unit.items()},
        frozenset(words.warm_words), words.fahrenheit_from, words.fahrenheit_tens, dict(words.tens),
        frozenset(words.tens_marks), dict(words.decades), frozenset(words.minus), frozenset(words.numerals),
        frozenset(words.followers), dict(words.bounds), every, typed_words(rates.per),
        frozenset((*every, *counts, *adverbs)), counts, adverbs, trie_of(deeds, str))

