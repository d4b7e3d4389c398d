"""The cues of knowledge/speech/scopes.yaml as tables."""

from __future__ import annotations

from collections.abc import Mapping

from diagnose.frozen import frozen
from diagnose.intake.letters.stems import stem
from diagnose.intake.letters.tries import Trie, trie_of, typed_words
from diagnose.intake.letters.words import TYPED
from diagnose.model.speech import Cue, Scopes

__all__ = ["ScopeTable", "scope_table"]


@frozen
class ScopeTable:
    """Cues and the words that bound their reach; ``typed`` cues are met only just as written. ``divides`` keep an
    adjective from the noun behind them; ``light`` words may stand between the members of a list, ``small`` ones name
    nothing."""

    breaks: frozenset[str]
    unbroken: frozenset[tuple[str, str]]
    starters: frozenset[str]
    definite: frozenset[str]
    subjects: frozenset[str]
    writer: frozenset[str]
    copulas: frozenset[str]
    past: frozenset[str]
    present: frozenset[str]
    turns: frozenset[str]
    relatives: frozenset[str]
    joiners: frozenset[str]
    alternatives: frozenset[str]
    relations: frozenset[str]
    ends: frozenset[str]
    divides: frozenset[str]
    small: frozenset[str]
    articles: frozenset[str]
    grounds: frozenset[str]
    light: frozenset[str]
    see_through: frozenset[str]
    havers: frozenset[str]
    having: frozenset[str]
    partitives: frozenset[str]
    cues: Trie[tuple[Cue, ...]]
    typed: Trie[tuple[Cue, ...]]
    ask: Trie[bool]
    general: frozenset[str]
    supposing: Trie[bool]
    answered_no: Trie[bool]
    answered_yes: Trie[bool]


def scope_table(scopes: Scopes, base: Mapping[str, str]) -> ScopeTable:
    """Tables for the cues of knowledge/speech/scopes.yaml."""
    cues: dict[str, list[Cue]] = {}
    for cue in scopes.cues:
        for word in cue.words:
            cues.setdefault(word, []).append(cue)
    entries = [(word, tuple(found)) for word, found in cues.items() if not word.startswith(TYPED)]
    entries += [(word, ()) for word in scopes.masks]
    typed = [(word, tuple(found)) for word, found in cues.items() if word.startswith(TYPED)]
    questions = [(word, True) for word in scopes.questions.ask] + [(word, False) for word in scopes.questions.presume]
    sets = {name: frozenset(getattr(scopes, name)) for name in (
        "breaks", "starters", "definite", "subjects", "writer", "copulas", "past", "present",
        "turns", "relatives", "joiners", "alternatives", "relations", "ends", "see_through", "light", "articles",
        "grounds", "havers", "having", "partitives")}

    def form(word: str) -> str:
        return stem(base.get(word, word))

    asked = scopes.questions
    divides = frozenset((*scopes.copulas, *scopes.joiners, *scopes.relations, *scopes.breaks))
    return ScopeTable(**sets, unbroken=frozenset(scopes.unbroken), divides=divides,
                      small=divides.union(scopes.starters, scopes.see_through),
                      cues=trie_of(entries, form), typed=trie_of(typed, str), ask=trie_of(questions, str),
                      general=frozenset(asked.general), supposing=typed_words(asked.supposing),
                      answered_no=typed_words(asked.answered_no), answered_yes=typed_words(asked.answered_yes))

