"""What a word of number counts: "all" in "all the leaves are pale", not in "pale, all within a month"."""

from __future__ import annotations

from diagnose.intake.letters.belonging import Search
from diagnose.intake.letters.phrases import Phrase

__all__ = ["counts_other"]

_NOUN_REACH = 4


def counts_other(search: Search, phrase: Phrase, core: tuple[int, ...]) -> bool:
    """Whether a word of number among the words of a phrase counts something else than its part."""
    view, parts = search.view, search.lexicon.parts
    return max(phrase.part, phrase.general) >= 0 and any(
        view.has_concept(at, parts.counts) and not view.has_concept(at, parts.heads) and _counts_other(
            search, phrase, core, at) for at in core)


def _counts_other(search: Search, phrase: Phrase, core: tuple[int, ...], at: int) -> bool:
    """Whether what follows the word is a time or place, or a part or mark that the phrase does not name."""
    view, parts, scopes = search.view, search.lexicon.parts, search.lexicon.scopes
    after = view.right_behind(at)
    if after < 0 or after in core:
        return False
    if view.words[after] in scopes.relations and view.words[after] not in scopes.partitives:
        return True
    own = view.where.get(phrase.part if phrase.part >= 0 else phrase.general, ())
    for other in range(after, min(after + _NOUN_REACH, len(view.words))):
        if other in own or view.sentence.gaps[other] or view.clauses[other] != view.clauses[at] or (
                view.words[other] in scopes.copulas):
            return False
        if other in view.heads or (other not in core and view.has_concept(other, parts.marks)):
            return True
    return False
