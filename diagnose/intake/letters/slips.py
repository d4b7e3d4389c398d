"""Slips of spelling: a word nobody knows is taken for a known word one or two letters away."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from rapidfuzz.distance import OSA
from rapidfuzz.process import extractOne

from diagnose.frozen import frozen

__all__ = ["SlipTable", "corrected", "slip_table"]

_LONG = 9
_LONGEST = 24
_MOST_REMEMBERED = 500


@frozen
class SlipTable:
    """Known words by first letter, and the fewest letters a word needs to be looked at."""

    by_letter: Mapping[str, tuple[str, ...]]
    fewest_letters: int


def slip_table(words: Iterable[str], fewest_letters: int) -> SlipTable:
    """A table of the words that a slip may have meant."""
    table: dict[str, set[str]] = {}
    for word in words:
        if len(word) >= fewest_letters - 1 and word.isalpha():
            table.setdefault(word[0], set()).add(word)
    return SlipTable({letter: tuple(sorted(group)) for letter, group in sorted(table.items())}, fewest_letters)


def corrected(word: str, table: SlipTable, memory: dict[str, str]) -> str:
    """The known word that an unknown one was meant for, or the word itself.

    One letter may be wrong, from nine letters on two; the first letter must be right. ``memory`` keeps answers
    within one letter and stops growing at a fixed size.
    """
    if not table.fewest_letters <= len(word) <= _LONGEST:
        return word
    known = memory.get(word)
    if known is None:
        most = 1 if len(word) < _LONG else 2
        nearest = extractOne(word, table.by_letter.get(word[0], ()), scorer=OSA.distance, score_cutoff=most)
        known = str(nearest[0]) if nearest else word
        if len(memory) < _MOST_REMEMBERED:
            memory[word] = known
    return known
