"""Tables of short runs of words, looked up by their first word."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Generic, NamedTuple, TypeVar

from diagnose.intake.letters.stems import stem
from diagnose.intake.letters.tokens import sentences_of

__all__ = ["Found", "Trie", "all_found", "entries_at", "longest", "mapped", "split_words", "trie_of", "typed_words"]

T = TypeVar("T")
U = TypeVar("U")
Rows = tuple[tuple[int, Mapping[tuple[str, ...], T]], ...]  # by the number of words that follow, the most first
Trie = Mapping[str, tuple[Rows[T], frozenset[str]]]  # beside the rows, the words that come second in some entry


class Found(NamedTuple, Generic[T]):
    """An entry met in a sentence: from the word ``start`` up to, without, the word ``end``."""

    start: int
    end: int
    value: T


def split_words(text: str) -> tuple[str, ...]:
    """The words of a phrase or unit, contractions opened."""
    return tuple(word for sentence in sentences_of(text, ()) for word in sentence.words)


def trie_of(entries: Iterable[tuple[str, T]], form: Callable[[str], str] = stem) -> Trie[T]:
    """A table from the first word of each entry to its other words and value; of equal entries the first counts."""
    table: dict[str, dict[int, dict[tuple[str, ...], T]]] = {}
    for text, value in entries:
        words = tuple(form(word) for word in split_words(text))
        if words:
            table.setdefault(words[0], {}).setdefault(len(words) - 1, {}).setdefault(words[1:], value)
    return {first: (tuple(sorted(rows.items(), reverse=True)), frozenset(rest[0] for row in rows.values()
                                                                         for rest in row if rest))
            for first, rows in table.items()}


def typed_words(words: Iterable[str]) -> Trie[bool]:
    """A table of words and short runs met only as they are typed."""
    return trie_of(((word, True) for word in words), str)


def mapped(trie: Trie[T], change: Callable[[T], U]) -> Trie[U]:
    """The same entries with other values."""
    return {first: (tuple((count, {rest: change(value) for rest, value in table.items()}) for count, table in rows),
                    seconds) for first, (rows, seconds) in trie.items()}


def entries_at(trie: Trie[T], words: Sequence[str], at: int) -> list[Found[T]]:
    """All entries that begin at a place, the longest first."""
    if words[at] not in trie:
        return []
    rows, seconds = trie[words[at]]
    if at + 1 == len(words) or words[at + 1] not in seconds:  # as nearly everywhere
        rows = () if rows[-1][0] else rows[-1:]
    found = []
    for count, table in rows:
        end = at + 1 + count
        rest = tuple(words[at + 1 : end])
        if rest in table:
            found.append(Found(at, end, table[rest]))
    return found


def longest(trie: Trie[T], words: Sequence[str], at: int) -> Found[T] | None:
    """The longest entry that begins at a place."""
    found = entries_at(trie, words, at)
    return found[0] if found else None


def all_found(trie: Trie[T], words: Sequence[str]) -> list[Found[T]]:
    """The entries met from left to right, the longest first at each place, none overlapping."""
    found: list[Found[T]] = []
    at = 0
    while at < len(words):
        hit = longest(trie, words, at) if words[at] in trie else None
        if hit:
            found.append(hit)
        at = hit.end if hit else at + 1
    return found
