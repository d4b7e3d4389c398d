"""Whether words such as "fine" and "healthy" praise the plant as it is now, all of it, or something else."""

from __future__ import annotations

from collections.abc import Sequence

from diagnose.intake.letters.dating import TimeSpan
from diagnose.intake.letters.lexicon import Lexicon
from diagnose.intake.letters.matching import Match
from diagnose.intake.letters.phrases import Kind
from diagnose.intake.letters.view import View

__all__ = ["is_empty_praise"]

_ARTICLE_REACH = 3


def is_empty_praise(match: Match, view: View, spans: Sequence[TimeSpan], lexicon: Lexicon) -> bool:
    """Whether a match of praise tells nothing of the plant now: "normal window", "half of it is fine", "it was a good
    plant for years". Other matches are never empty."""
    if match.phrase.kind not in (Kind.HEALTH, Kind.DENIAL):
        return False
    if match.phrase.kind is Kind.HEALTH and _of_something_else(match, view, lexicon):
        return True
    return _of_a_piece(match, view, lexicon) or _of_then(match, view, spans, lexicon)


def _of_something_else(match: Match, view: View, lexicon: Lexicon) -> bool:
    """Whether an unknown noun follows the praise ("good potting soil", "clean my blade"), or an article stands before
    it and no part of the plant behind it ("a good wash")."""
    scopes, at = lexicon.scopes, max(match.core)
    after = view.unit_ends[at]
    if match.part > at and (view.clauses[match.part] != view.clauses[at] or view.words[after] in scopes.articles):
        return True
    if after <= match.part < after + _ARTICLE_REACH:
        return False
    single = after == at + 1
    if single and at and view.words[at - 1] in scopes.articles and not _follows(view, after, lexicon):
        return True
    if view.right_behind(at) < 0:
        return False
    word = view.words[after]
    if word in scopes.articles or word.isdigit():
        return True
    return view.is_plain(after) and word not in lexicon.idle and not _follows(view, after, lexicon)


def _follows(view: View, after: int, lexicon: Lexicon) -> bool:
    """Whether the word behind goes on with the praise: "in a good state", "a lovely red", "fine apart from"."""
    if after >= len(view.words):
        return False
    if view.has_concept(after, lexicon.parts.tints):
        return True
    return view.words[after] in lexicon.speech.health.follow or view.words[after] in lexicon.scopes.small


def _of_a_piece(match: Match, view: View, lexicon: Lexicon) -> bool:
    """Whether only a piece is praised, "the half nearest the base is fine", or some of the parts."""
    first, end = view.clause_of(max(match.core))
    reach = range(max(first, min(match.places) - 4), min(end, max(match.places) + 4))
    health = lexicon.speech.health
    less = (*health.pieces, *health.few) if match.phrase.kind is Kind.HEALTH else health.pieces
    return any(view.words[at] in less for at in reach)


def _of_then(match: Match, view: View, spans: Sequence[TimeSpan], lexicon: Lexicon) -> bool:
    """Whether it is told how it was at another time: a verb of the past, and a time or "when" beside it."""
    at = max(match.core)
    first = view.stretch(at, at)[0]
    if lexicon.scopes.past.isdisjoint(view.words[first:at]):
        return False
    end = min(at + 8, len(view.words))
    dated = any(view.halves[span.start] == view.halves[at] for span in spans)
    return dated or any(word in lexicon.speech.health.then for word in view.words[first:end])
