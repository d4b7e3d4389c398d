"""A sentence with the senses of its words looked up, and cut into clauses."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import zip_longest

from diagnose.intake.letters.lexicon import Lexicon
from diagnose.intake.letters.slips import corrected
from diagnose.intake.letters.stems import stem
from diagnose.intake.letters.tokens import CLAUSE, COMMA, Sentence
from diagnose.intake.letters.tries import Found, Trie, entries_at, longest
from diagnose.intake.letters.words import ALONE, IDIOM, TYPED, Sense

__all__ = ["View", "view_of"]

_COMMA_COST, _CLAUSE_COST, _STATEMENT_COST = 1, 4, 6
_COMPOSED_REACH = 3
_IDIOM_ALONE = frozenset({IDIOM})


@dataclass(slots=True)
class View:
    """A sentence as it is read. Lists run over its words.

    ``costs`` grow along the sentence, faster across commas and clauses; ``clauses`` and ``halves`` number the clauses
    and the wider stretches between hard breaks; ``unit_ends`` say where the unit that begins at a word ends,
    ``literal_ends`` where a quoted run does, by its item and the place it begins at.
    """

    sentence: Sentence
    words: list[str]
    stems: list[str]
    senses: list[Sense | None]
    unit_ends: list[int]
    where: dict[int, list[int]]
    clauses: list[int]
    halves: list[int]
    costs: list[int]
    heads: list[int] = field(default_factory=list)
    corrected: set[int] = field(default_factory=set)
    literal_ends: dict[tuple[int, int], int] = field(default_factory=dict)

    def covered(self, places: Iterable[int], items: Sequence[int] = ()) -> frozenset[int]:
        """The places with all words of the units that begin at them; those met as ``items`` with their quoted runs."""
        return frozenset(at for place, item in zip_longest(places, items, fillvalue=-1)
                         for at in range(place, max(self.unit_ends[place], self.literal_ends.get((item, place), 0))))

    def clause_of(self, at: int) -> tuple[int, int]:
        """Where the clause of a word begins and where it has ended."""
        first, end = at, at + 1
        while first and self.clauses[first - 1] == self.clauses[at]:
            first -= 1
        while end < len(self.words) and self.clauses[end] == self.clauses[at]:
            end += 1
        return first, end

    def stretch(self, first: int, last: int) -> tuple[int, int]:
        """The words from first to last, widened to the comma or clause on either side; both ends included."""
        gaps, clauses, count = self.sentence.gaps, self.clauses, len(self.words)
        while first and clauses[first - 1] == clauses[first] and gaps[first] < COMMA:
            first -= 1
        while last + 1 < count and gaps[last + 1] < COMMA and clauses[last + 1] == clauses[last]:
            last += 1
        return first, last

    def right_behind(self, at: int) -> int:
        """The place behind the unit of a word, -1 where a separation or another clause follows."""
        after = self.unit_ends[at]
        goes_on = after < len(self.words) and not self.sentence.gaps[after] and (
            self.clauses[after] == self.clauses[after - 1])
        return after if goes_on else -1

    def is_plain(self, at: int) -> bool:
        """Whether the word stands for no concept, at most for itself."""
        sense = self.senses[at]
        return sense is None or all(concept.startswith((ALONE, TYPED)) for concept in sense.concepts)

    def is_plural(self, at: int) -> bool:
        """Whether the unit of a word ends as plurals do."""
        last = self.words[self.unit_ends[at] - 1]
        return last.endswith("s") and not last.endswith("ss")

    def has_concept(self, at: int, concepts: frozenset[str]) -> bool:
        """Whether the word stands for one of the concepts."""
        sense = self.senses[at]
        return sense is not None and not concepts.isdisjoint(sense.concepts)


def view_of(sentence: Sentence, lexicon: Lexicon, memory: dict[str, str]) -> View:
    """Look up every word of a sentence. ``memory`` keeps corrected slips within one letter."""
    words, slips = _spelled(sentence.words, lexicon, memory)
    stems = [stem(lexicon.base.get(word, word)) for word in words]
    clauses, halves, costs = _clauses(words, sentence.gaps, lexicon)
    count = len(words)
    unit_ends = list(range(1, count + 1))
    view = View(sentence, words, stems, [None] * count, unit_ends, {}, clauses, halves, costs, [], slips)
    _look_up(view, lexicon)
    _compose(view, lexicon)
    heads = lexicon.parts.heads
    every = [at for at in range(count) if view.has_concept(at, heads)]
    named = [at for at in every if not _is_done(words, at, lexicon)] or every
    view.heads = [at for at in named if at == named[0] or not _is_deed(words, at, lexicon)]
    return view


def _is_done(words: list[str], at: int, lexicon: Lexicon) -> bool:
    """Whether a word tells what the plant has done ("it has bloomed twice"), which another part outdoes."""
    return at > 0 and words[at] in lexicon.parts.deeds and words[at - 1] in lexicon.scopes.havers


def _is_deed(words: list[str], at: int, lexicon: Lexicon) -> bool:
    """Whether a word tells what the plant did ("the bulb that bloomed"); "when it bloomed" speaks of the flowers."""
    parts = lexicon.parts
    return words[at] in parts.deeds and words[at - 1] in parts.pronouns and words[at - 2] not in lexicon.scopes.breaks


def _spelled(words: list[str], lexicon: Lexicon, memory: dict[str, str]) -> tuple[list[str], set[int]]:
    slips: set[int] = set()
    known, least = lexicon.known, lexicon.slips.fewest_letters
    spelled = words
    for at, word in enumerate(words):
        if len(word) < least or word in known or stem(word) in known:
            continue
        meant = corrected(word, lexicon.slips, memory)
        if meant == word:
            base = stem(word)
            meant = corrected(base, lexicon.slips, memory)
            meant = word if meant == base else meant
        if meant != word:
            spelled = words.copy() if spelled is words else spelled
            spelled[at] = meant
            slips.add(at)
    return spelled, slips


def _clauses(words: list[str], gaps: list[int], lexicon: Lexicon) -> tuple[list[int], list[int], list[int]]:
    clauses, halves, costs = [], [], []
    clause = half = cost = 0
    breaks, starters, joiners = lexicon.scopes.breaks, lexicon.scopes.starters, lexicon.scopes.joiners
    unbroken = lexicon.scopes.unbroken
    for at, word in enumerate(words):
        gap = gaps[at]
        if at and (gap >= CLAUSE or (word in breaks and (words[at - 1], word) not in unbroken)):
            clause, half, cost = clause + 1, half + 1, cost + _CLAUSE_COST
        elif at and gap >= COMMA:
            cost += _COMMA_COST
            if word in starters:
                clause, cost = clause + 1, cost + _COMMA_COST
        elif at and word in joiners and words[at + 1 : at + 2] and words[at + 1] in lexicon.scopes.subjects:
            clause, cost = clause + 1, cost + _STATEMENT_COST
        cost += 1
        clauses.append(clause)
        halves.append(half)
        costs.append(cost)
    return clauses, halves, costs


def _look_up(view: View, lexicon: Lexicon) -> None:
    senses = lexicon.senses
    units, exact, stems = senses.units, senses.exact, senses.stems
    at, count = 0, len(view.words)
    while at < count:
        word, base = view.words[at], view.stems[at]
        sense, end = None, at + 1
        unit = longest(units, view.stems, at) if base in units else None
        if word in senses.fixed:
            unit = max((one for one in (unit, longest(senses.fixed, view.words, at)) if one), key=_end, default=None)
        if unit and not any(view.sentence.gaps[at + 1 : unit.end]):
            sense, end = unit.value, unit.end
        else:
            sense = exact.get(word) or stems.get(base)
        if sense is not None:
            view.unit_ends[at] = end
            _put(view, at, sense)
            if end > at + 1 and not sense.concepts.isdisjoint(lexicon.parts.places):
                _put_parts(view, at, end, lexicon)
        at = end
    idle = view.covered([at for at, sense in enumerate(view.senses) if sense and sense.concepts == _IDIOM_ALONE])
    for at, word in enumerate(view.words):
        if word in senses.literals:
            _put_literals(view, at, senses.literals)
        if at not in idle and (word in senses.single or view.stems[at] in senses.single):
            _put_beside(view, at, (senses.single.get(word) or senses.single[view.stems[at]]).items)


def _end(found: Found[Sense]) -> int:
    return found.end


def _put_parts(view: View, first: int, end: int, lexicon: Lexicon) -> None:
    """A unit for a spot on a part ("ends of the leaf") names the part too."""
    heads, senses = lexicon.parts.heads, lexicon.senses
    unit = view.senses[first]
    for at in range(first, end) if unit and unit.concepts.isdisjoint(heads) else ():
        sense = senses.exact.get(view.words[at]) or senses.stems.get(view.stems[at])
        if sense and not sense.concepts.isdisjoint(heads):
            _put_beside(view, at, sense.items)
            whole = unit if at == first and unit else sense
            view.senses[at] = Sense(tuple({*whole.items, *sense.items}), whole.concepts | sense.concepts)


def _put(view: View, at: int, sense: Sense) -> None:
    view.senses[at] = sense
    for item in sense.items:
        view.where.setdefault(item, []).append(at)


def _put_literals(view: View, at: int, literals: Trie[tuple[int, ...]]) -> None:
    """Quoted runs of words stand beside what their words mean."""
    for found in entries_at(literals, view.words, at):
        _put_beside(view, at, found.value)
        view.literal_ends.update(((item, at), found.end) for item in found.value)


def _put_beside(view: View, at: int, items: tuple[int, ...]) -> None:
    for item in items:
        places = view.where.setdefault(item, [])
        if at not in places:
            places.append(at)


def _compose(view: View, lexicon: Lexicon) -> None:
    """A head with a modifier near by stands for the composed concept too ("the newest two leaves": a new leaf)."""
    divides = lexicon.scopes.divides
    for head, modifier, sense in lexicon.parts.composed:
        if head not in view.where or modifier not in view.where:
            continue
        for at in view.where[head]:
            if any(_joined(view, at, other, divides) for other in view.where[modifier]):
                old = view.senses[at] or sense
                _put_beside(view, at, sense.items)
                view.senses[at] = Sense(tuple({*old.items, *sense.items}), old.concepts | sense.concepts)


def _joined(view: View, head: int, modifier: int, divides: frozenset[str]) -> bool:
    """Whether a modifier stands shortly before its head, with nothing that parts them."""
    between = range(view.unit_ends[modifier], head)
    return 0 < head - modifier <= _COMPOSED_REACH and not any(
        view.sentence.gaps[at] or view.words[at] in divides for at in (*between, head))
