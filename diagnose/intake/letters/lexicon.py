"""The vocabulary turned into tables: which word stands for what, and which phrases ask for it.

A phrase is a set of *items*; an item is what one word of a phrase stands for, so every word of the vocabulary knows
the items it satisfies. All tables are plain values, so that a lexicon can be kept between runs.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from diagnose.intake.letters.slips import SlipTable, slip_table
from diagnose.intake.letters.stems import stem
from diagnose.intake.letters.tokens import sentences_of
from diagnose.model.speech import Denial, Vocabulary

__all__ = ["GROUP", "Lexicon", "Phrase", "Sense", "Trie", "build_lexicon", "longest", "split_words", "trie_of"]

GROUP = "group:"
_LITERAL = "="
_NOT = "not"


class Sense(NamedTuple):
    """What a word or unit stands for: the items of phrases it satisfies and all its concepts."""

    items: tuple[int, ...]
    concepts: frozenset[str]


class Phrase(NamedTuple):
    """A phrase in items. ``core`` without the part of the plant, ``part`` its item or -1, ``denied`` the place in
    ``core`` of the word that must be negated or -1; ``veto`` phrases mean something else than their target."""

    kind: str
    target: str
    section: str
    core: tuple[int, ...]
    part: int
    denied: int
    weight: float
    veto: bool


Trie = Mapping[str, tuple[tuple[tuple[str, ...], object], ...]]


@dataclass(frozen=True, slots=True)
class Lexicon:
    """Everything that is looked up while reading."""

    exact: Mapping[str, Sense]
    stems: Mapping[str, Sense]
    units: Trie
    literals: Trie
    phrases: tuple[Phrase, ...]
    needs: tuple[frozenset[int], ...]
    by_anchor: Mapping[int, tuple[int, ...]]
    by_item: Mapping[int, tuple[int, ...]]
    item_of: Mapping[str, tuple[int, ...]]
    composed: tuple[tuple[str, str, Sense], ...]
    heads: frozenset[str]
    general: frozenset[str]
    places: frozenset[str]
    things: frozenset[str]
    slips: SlipTable
    irregular: Mapping[str, str]
    dotted: frozenset[str]


def split_words(text: str) -> tuple[str, ...]:
    """The words of a phrase or unit, contractions opened."""
    return tuple(word for sentence in sentences_of(text, ()) for word in sentence.words)


def trie_of(entries: Iterable[tuple[str, object]], stemmed: bool = True) -> Trie:
    """A table from the first word of each entry to its other words and value, longest first."""
    table: dict[str, list[tuple[tuple[str, ...], object]]] = {}
    for text, value in entries:
        words = split_words(text)
        if stemmed:
            words = tuple(stem(word) for word in words)
        if words:
            table.setdefault(words[0], []).append((words[1:], value))
    return {first: tuple(sorted(rows, key=lambda row: -len(row[0]))) for first, rows in table.items()}


def longest(trie: Trie, words: list[str], at: int) -> tuple[int, object] | None:
    """The longest entry that begins at a place: the place after it and its value."""
    for rest, value in trie.get(words[at], ()):
        end = at + 1 + len(rest)
        if not rest or tuple(words[at + 1 : end]) == rest:
            return end, value
    return None
