"""Which concepts a word or unit of the vocabulary stands for."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from functools import cache
from typing import NamedTuple

from diagnose.frozen import frozen
from diagnose.intake.letters.stems import stem
from diagnose.intake.letters.tries import Trie, longest, mapped, split_words, trie_of
from diagnose.model.speech import Concept
from diagnose.model.vocabulary import GroupNames, Vocabulary

__all__ = [
    "ALONE", "GROUP", "IDIOM", "NOT", "TYPED", "ConceptTable", "Sense", "SenseTable", "concept_table", "group_of",
    "sense_table",
]

GROUP, NOT, IDIOM = "group:", "not", "idiom"
ALONE, TYPED = "=", '"'  # before a word that stands for itself in all its forms, before words met only as typed
_IDIOM_ALONE = frozenset({IDIOM})
_QUOTED = re.compile(r'"([^"]+)"')


class Sense(NamedTuple):
    """What a word or unit stands for: the items of phrases it satisfies, and its concepts with more general ones."""

    items: tuple[int, ...]
    concepts: frozenset[str]


@frozen
class ConceptTable:
    """Concepts by word as written, by stem, by unit and by quoted unit (met only just as typed), with each concept's
    more general ones (itself included)."""

    exact: Mapping[str, frozenset[str]]
    stems: Mapping[str, frozenset[str]]
    units: Trie[frozenset[str]]
    fixed: Trie[frozenset[str]]
    above: Mapping[str, frozenset[str]]
    stop: frozenset[str]
    base: Mapping[str, str]

    def stem_of(self, word: str) -> str:
        """The stem, irregular forms brought to their base."""
        return stem(self.base.get(word, word))

    def pieces(self, phrase: str) -> list[frozenset[str]]:
        """What each word or unit of a phrase stands for. A word without concept stands for itself, text in
        quotation marks for just those words; stop-words are dropped."""
        found: list[frozenset[str]] = []
        for number, segment in enumerate(_QUOTED.split(phrase)):
            if number % 2:
                words = split_words(segment)
                denies = NOT in (self.exact.get(words[-1]) or ()) and (len(words) == 1 or words[1:] == ("not",))
                found.append(frozenset({NOT if denies else TYPED + " ".join(words)}))
            else:
                found += self._plain_pieces(split_words(segment))
        return found

    def _plain_pieces(self, words: Sequence[str]) -> Iterable[frozenset[str]]:
        stems = [self.stem_of(word) for word in words]
        at = 0
        while at < len(words):
            unit = longest(self.units, stems, at) if stems[at] in self.units else longest(self.fixed, words, at)
            concepts = unit.value if unit else self.of_word(words[at], stems[at])
            if concepts == _IDIOM_ALONE:
                yield frozenset({TYPED + " ".join(words[at : unit.end if unit else at + 1])})
            elif concepts:
                yield concepts
            elif words[at] not in self.stop:
                yield frozenset({self._as_word(words[at])})
            at = unit.end if unit else at + 1

    def literal(self, phrase: str) -> list[frozenset[str]]:
        """The pieces of a phrase, but what would be a single concept is taken for just those words: "direct sun" is not
        any sun. A concept's own name, written with an underscore, stays a concept."""
        words, found = split_words(phrase), self.pieces(phrase)
        if len(set(found)) != 1 or "_" in phrase or '"' in phrase:
            return found
        return [frozenset({TYPED + " ".join(words) if len(words) > 1 else self._as_word(words[0])})]

    def _as_word(self, word: str) -> str:
        """A word that stands for itself in all its forms; one in y ("stuffy") keeps to its own form."""
        return ALONE + (word if word.endswith("y") else self.stem_of(word))

    def of_word(self, word: str, stem_of_word: str) -> frozenset[str] | None:
        """The concepts of a single word: as it stands, else by its stem."""
        return self.exact.get(word) or self.stems.get(stem_of_word)

    def closure(self, concepts: Iterable[str]) -> frozenset[str]:
        """Concepts with all more general ones."""
        return frozenset(up for concept in concepts for up in self.above.get(concept, frozenset({concept})))


@frozen
class SenseTable:
    """The senses of words as they stand, by stem, by unit and by unit as typed.

    ``literals`` are quoted runs and ``single`` words or stems taken as such; they stand beside the other senses.
    """

    exact: Mapping[str, Sense]
    stems: Mapping[str, Sense]
    units: Trie[Sense]
    fixed: Trie[Sense]
    literals: Trie[tuple[int, ...]]
    single: Mapping[str, Sense]


def group_of(concept: str) -> str:
    """The plant group that a concept names, or ""."""
    return concept[len(GROUP):] if concept.startswith(GROUP) else ""


def concept_table(vocabulary: Vocabulary) -> ConceptTable:
    """The concepts of a vocabulary; names of plant groups count as concepts "group:..." below ``plant``."""
    speech = vocabulary.speech
    groups = _group_concepts(vocabulary.groups, speech.parts.general)
    surfaces: dict[str, set[str]] = {}
    fixed: dict[str, set[str]] = {}
    for concept in (*speech.concepts, *groups):
        for word in concept.words:
            table = fixed if word.startswith('"') else surfaces
            table.setdefault(" ".join(split_words(word)), set()).add(concept.concept)
    base = dict(speech.words.irregular)

    def form(word: str) -> str:
        return stem(base.get(word, word))

    exact = {text: frozenset(ids) for text, ids in surfaces.items() if " " not in text}
    exact |= {text + "s": ids for text, ids in exact.items() if text + "s" not in exact and any(map(group_of, ids))}
    units = trie_of(((text, frozenset(ids)) for text, ids in surfaces.items() if " " in text), form)
    as_typed = trie_of(((text, frozenset(ids)) for text, ids in fixed.items()), str)
    return ConceptTable(exact, _by_stem(exact, form), units, as_typed, _closures((*speech.concepts, *groups)),
                        frozenset(speech.words.stop), base)


def _by_stem(exact: Mapping[str, frozenset[str]], form: Callable[[str], str]) -> dict[str, frozenset[str]]:
    """Concepts by stem. A word that is itself the stem comes first; names of groups have no inflected forms."""
    common = {text: plain for text, ids in exact.items()
              if (plain := frozenset(one for one in ids if not group_of(one)))}
    stems: dict[str, set[str]] = {}
    for text, ids in common.items():
        stems.setdefault(form(text), set()).update(ids)
    return {one: common.get(one) or frozenset(ids) for one, ids in stems.items()}


def _group_concepts(groups: Iterable[GroupNames], general: Sequence[str]) -> list[Concept]:
    return [Concept(GROUP + group.group, group.names, tuple(general)) for group in groups]


def _closures(concepts: Iterable[Concept]) -> dict[str, frozenset[str]]:
    parents: dict[str, set[str]] = {}
    for concept in concepts:
        parents.setdefault(concept.concept, set()).update(concept.parents)
    above: dict[str, frozenset[str]] = {}
    for name in parents:
        seen, todo = {name}, [name]
        while todo:
            fresh = parents.get(todo.pop(), set()) - seen
            seen |= fresh
            todo += sorted(fresh)
        above[name] = frozenset(seen)
    return above


def sense_table(concepts: ConceptTable, item_of: Mapping[str, Collection[int]]) -> SenseTable:
    """The senses of every word, unit and literal. ``item_of`` names the items that a concept or literal satisfies."""

    @cache  # words of one meaning share their sense, which makes a kept lexicon smaller
    def sense(ids: frozenset[str]) -> Sense:
        closure = concepts.closure(ids)
        return Sense(tuple(sorted({item for one in closure for item in item_of.get(one, ())})), closure)

    exact = {word: sense(ids) for word, ids in concepts.exact.items()}
    stems = {one: sense(ids) for one, ids in concepts.stems.items()}
    single = {name.removeprefix(ALONE): sense(frozenset({name})) for name in item_of if name.startswith(ALONE)}
    stems |= {word: found for word, found in single.items() if word not in stems}
    typed: dict[str, set[str]] = {}
    for name in item_of:
        if name.startswith(TYPED):
            typed.setdefault(" ".join(split_words(name.removeprefix(TYPED))), set()).add(name)
    literals = trie_of(((text, sense(frozenset(names)).items) for text, names in typed.items()), str)
    return SenseTable(exact, stems, mapped(concepts.units, sense), mapped(concepts.fixed, sense), literals, single)
