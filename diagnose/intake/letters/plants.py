"""The words of knowledge/speech/plants.yaml as tables, and what tells one plant of a letter from another."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from diagnose.frozen import frozen
from diagnose.intake.letters.stems import stem
from diagnose.intake.letters.tries import Trie, trie_of
from diagnose.model.speech import PlantTalk

__all__ = ["PlantKey", "PlantTable", "plant_table"]


@dataclass(frozen=True, order=True)
class PlantKey:
    """A plant of the letter: its group ("" if not named), and whether it is one beside the plant asked about; a
    ``stranger`` beside it is of another kind and never the one asked about."""

    group: str = ""
    beside: bool = False
    stranger: bool = False


@frozen
class PlantTable:
    """Words that turn to another plant, and back to one's own."""

    other: Trie[bool]
    aside: Trie[bool]
    strangers: Trie[bool]
    lasting: Trie[bool]
    own: Trie[bool]
    carries: frozenset[str]
    close: frozenset[str]
    bench: frozenset[str]


def plant_table(talk: PlantTalk, base: Mapping[str, str]) -> PlantTable:
    """Tables for the words of knowledge/speech/plants.yaml."""

    def words(listed: tuple[str, ...]) -> Trie[bool]:
        return trie_of(((word, True) for word in listed), lambda word: stem(base.get(word, word)))

    return PlantTable(words(talk.other), words(talk.aside), words(talk.strangers), words(talk.lasting), words(talk.own),
                      frozenset(talk.carries), frozenset(talk.close), frozenset(talk.bench))
