"""Phrases of the vocabulary as sets of items, indexed by their rarest item.

An item is what one word of a phrase stands for: a concept, several where the word is ambiguous, or the word itself.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from enum import StrEnum
from typing import Any, NamedTuple

from diagnose.frozen import frozen
from diagnose.intake.letters.words import NOT, TYPED, ConceptTable
from diagnose.model.speech import ContextWords
from diagnose.model.vocabulary import Vocabulary

__all__ = ["EXCLUSIVE_KINDS", "SENSED_KINDS", "Kind", "Phrase", "PhraseTable", "Phrases", "phrase_table"]


class Kind(StrEnum):
    """What a phrase tells of."""

    SIGN = "sign"
    HABIT = "habit"
    EVENT = "event"
    STAGE = "stage"
    MEDIUM = "medium"
    SIZE = "size"
    PLACE = "place"
    RESERVOIR = "reservoir"
    REGION = "region"
    HEALTH = "health"
    DENIAL = "denial"


# Kinds whose words stand for whole concepts, and kinds of which the fuller of two matches counts alone.
SENSED_KINDS = frozenset({Kind.SIGN, Kind.DENIAL, Kind.HEALTH})


EXCLUSIVE_KINDS = frozenset(Kind) - {Kind.HABIT, Kind.EVENT, Kind.REGION}


class Phrase(NamedTuple):
    """A phrase in items.

    ``core`` is ordered rarest first and lacks the part of the plant; ``part`` is that part's item and ``depth`` how
    special it is; ``general`` is the item of a word for the whole plant; ``denied`` the item that must stand negated
    (-1 each where there is none). A ``veto`` phrase looks like its target and means something else; one ``alone``
    tells it only where nothing else of weight stands beside it.
    """

    kind: Kind
    target: str
    section: str
    core: tuple[int, ...]
    part: int
    depth: int
    general: int
    denied: int
    weight: float
    veto: bool
    alone: bool = False


class Phrases:
    """All phrases by number, each made of its row when it is first asked for: a letter meets a few hundred of them, and
    to make all when the table is loaded takes longer than to read the letter."""

    __slots__ = ("_made", "_rows")

    def __init__(self, rows: Iterable[tuple[Any, ...]]) -> None:
        """``rows`` hold the fields of each phrase."""
        self._rows = tuple(map(tuple, rows))
        self._made: dict[int, Phrase] = {}

    def __reduce__(self) -> tuple[type[Phrases], tuple[tuple[tuple[Any, ...], ...]]]:
        return Phrases, (self._rows,)

    def __len__(self) -> int:
        return len(self._rows)

    def __iter__(self) -> Iterator[Phrase]:
        return (self[number] for number in range(len(self._rows)))

    def __getitem__(self, number: int) -> Phrase:
        found = self._made.get(number)
        if found is None:
            found = self._made[number] = Phrase._make(self._rows[number])
        return found


@frozen
class PhraseTable:
    """All phrases; ``by_anchor`` holds them by their rarest item and the next (the same one where there is no other),
    ``item_of`` the items of a concept."""

    phrases: Phrases
    by_anchor: Mapping[int, Mapping[int, tuple[int, ...]]]
    by_item: Mapping[int, tuple[int, ...]]
    item_of: Mapping[str, tuple[int, ...]]
    own_item: Mapping[str, int]


class _Draft(NamedTuple):
    kind: Kind
    target: str
    section: str
    text: str
    veto: bool
    alone: bool = False


def phrase_table(vocabulary: Vocabulary, concepts: ConceptTable) -> PhraseTable:
    """The phrases of a vocabulary in items."""
    drafts = [(draft, pieces) for draft in _drafts(vocabulary) if (pieces := _pieces(draft, concepts))]
    parts = vocabulary.speech.parts
    flagged = {NOT, *parts.heads, *parts.places, *parts.things, *parts.general}
    flagged.update(up for name in parts.composed for up in concepts.above.get(name, ()))
    alternatives = {piece for _, pieces in drafts for piece in pieces} | {frozenset({name}) for name in flagged}
    numbers = {piece: number for number, piece in enumerate(sorted(alternatives, key=sorted))}
    item_of: dict[str, set[int]] = {}
    for piece, number in numbers.items():
        for concept in piece:
            item_of.setdefault(concept, set()).add(number)
    counts = Counter(numbers[piece] for _, pieces in drafts for piece in pieces)
    counts[numbers[frozenset({NOT})]] = len(drafts)
    make = _Maker(numbers, counts, concepts, frozenset(parts.heads), frozenset(parts.general))
    phrases = tuple(make.phrase(draft, pieces) for draft, pieces in drafts)
    return PhraseTable(Phrases(phrases), _by_anchor(phrases), _index(phrase.core for phrase in phrases),
                       {concept: tuple(sorted(found)) for concept, found in item_of.items()},
                       {concept: numbers[frozenset({concept})] for concept in flagged})


def _pieces(draft: _Draft, concepts: ConceptTable) -> list[frozenset[str]]:
    """Signs are told in any words of a concept; for circumstances a single word means just that word."""
    return concepts.pieces(draft.text) if draft.kind in SENSED_KINDS else concepts.literal(draft.text)


@frozen
class _Maker:
    """Turns pieces into phrases."""

    numbers: Mapping[frozenset[str], int]
    counts: Mapping[int, int]
    concepts: ConceptTable
    heads: frozenset[str]
    general: frozenset[str]

    def phrase(self, draft: _Draft, pieces: Sequence[frozenset[str]]) -> Phrase:
        """A phrase with its part set apart, its items rarest first."""
        part = next((piece for piece in pieces if self.concepts.closure(piece) & self.heads), None)
        sensed = draft.kind in SENSED_KINDS and part is None
        general = next((piece for piece in pieces if sensed and piece & self.general), None)
        core = [piece for piece in pieces if piece is not part and piece is not general]
        if not core or all(piece == {NOT} for piece in core):
            core, part, general = list(pieces), None, None
        denied = self.numbers[frozenset({NOT})] if any(NOT in piece for piece in core) else -1
        items = sorted({self.numbers[piece] for piece in core}, key=lambda item: (self.counts[item], item))
        weight = sum(self._weight(piece) for piece in pieces)
        return Phrase(draft.kind, draft.target, draft.section, tuple(items), self._number(part),
                      self._depth(part), self._number(general),
                      denied, weight, draft.veto, draft.alone)

    def _number(self, piece: frozenset[str] | None) -> int:
        return -1 if piece is None else self.numbers[piece]

    def _weight(self, piece: frozenset[str]) -> float:
        """One for each word, a little more for a more special one; words for the whole plant weigh nothing."""
        if piece & self.general:
            return 0.0
        typed = max(len(one.split()) if one.startswith(TYPED) else 1 for one in piece)
        return typed + 0.1 * self._depth(piece)

    def _depth(self, piece: frozenset[str] | None) -> int:
        """How many more general concepts stand above."""
        return max(len(self.concepts.closure({one})) - 1 for one in piece) if piece else 0


def _by_anchor(phrases: Sequence[Phrase]) -> dict[int, dict[int, tuple[int, ...]]]:
    table: dict[int, dict[int, list[int]]] = {}
    for number, phrase in enumerate(phrases):
        table.setdefault(phrase.core[0], {}).setdefault(phrase.core[:2][-1], []).append(number)
    return {item: {other: tuple(numbers) for other, numbers in rows.items()} for item, rows in table.items()}


def _index(items: Iterable[Sequence[int]]) -> dict[int, tuple[int, ...]]:
    table: dict[int, list[int]] = {}
    for number, row in enumerate(items):
        for item in row:
            table.setdefault(item, []).append(number)
    return {item: tuple(numbers) for item, numbers in table.items()}


def _drafts(vocabulary: Vocabulary) -> Iterator[_Draft]:
    speech = vocabulary.speech
    for sign in vocabulary.signs:
        yield from _texts(Kind.SIGN, sign.sign, sign.part, sign.words, sign.not_words)
        yield from (_Draft(Kind.SIGN, sign.sign, sign.part, text, False, True) for text in sign.words_alone)
    for habit in vocabulary.habits:
        yield from _texts(Kind.HABIT, habit.habit, "", habit.words, habit.not_words)
        yield from (_Draft(Kind.HABIT, habit.habit, "", text, False, True) for text in habit.words_alone)
    for number, event in enumerate(speech.events):
        yield from _texts(Kind.EVENT, str(number), "", event.words, event.not_words)
    for kind, rows in ((Kind.STAGE, speech.stages.stages), (Kind.SIZE, speech.stages.sizes),
                       (Kind.MEDIUM, speech.media.media), (Kind.RESERVOIR, speech.media.reservoirs),
                       (Kind.PLACE, speech.places.places)):
        yield from _context(kind, rows)
    for region in speech.places.regions:
        yield from _texts(Kind.REGION, region.hemisphere, "", [f'"{word}"' for word in region.words])
    for head, part in speech.health.parts:
        yield from _texts(Kind.HEALTH, part, "", [f"{head} {word}" for word in speech.health.words])
    for number, denial in enumerate(speech.health.denials):
        yield from _texts(Kind.DENIAL, str(number), "", denial.words)


def _context(kind: Kind, rows: Iterable[ContextWords]) -> Iterator[_Draft]:
    for row in rows:
        yield from _texts(kind, row.value, "", row.words, row.not_words)


def _texts(kind: Kind, target: str, section: str, words: Iterable[str],
           not_words: Iterable[str] = ()) -> Iterator[_Draft]:
    yield from (_Draft(kind, target, section, text, False) for text in words)
    yield from (_Draft(kind, target, section, text, True) for text in not_words)
