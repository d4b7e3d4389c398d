"""Finds the phrases of the vocabulary in a sentence, by sense and whatever the order of words."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from diagnose.intake.letters.belonging import (
    Search,
    Topic,
    may_have_part,
    part_of,
)
from diagnose.intake.letters.counting import counts_other
from diagnose.intake.letters.lexicon import Lexicon, PartTable
from diagnose.intake.letters.owners import Owners
from diagnose.intake.letters.phrases import EXCLUSIVE_KINDS, SENSED_KINDS, Phrase
from diagnose.intake.letters.view import View

__all__ = ["Match", "matches_in"]

_REACH_FIRST, _REACH_MORE = 6, 4
_VETO_FIRST, _VETO_MORE = 2, 3
_PLACE_MORE = 6
_OCCASION_MORE = 18
_NEGATION_REACH = 5
_MOST_PLACES = 3


class Match(NamedTuple):
    """A phrase met: the places of its words, that of the part's word (-1: carried on from before or assumed), and all
    places with the words of their units."""

    phrase: Phrase
    core: tuple[int, ...]
    part: int
    certainty: float
    places: frozenset[int]


def matches_in(view: View, lexicon: Lexicon, topic: Topic) -> list[Match]:
    """The matches of a sentence that no more specific match of the same kind covers."""
    table, where = lexicon.phrases, view.where
    owners = Owners(view, lexicon.scopes, lexicon.parts)
    search = Search(view, lexicon, topic, owners, _may_assume(view, lexicon, topic))
    found: list[Match] = []
    present = where.keys()
    for item in where:
        rows = table.by_anchor.get(item, {})
        for phrase in (table.phrases[number] for other in rows.keys() & present for number in rows[other]):
            if all(more in where for more in phrase.core[2:]) and may_have_part(search, phrase):
                found += _placed(search, phrase, phrase.core)
    if topic.things and not lexicon.parts.pronouns.isdisjoint(view.words):
        found += _carried(search)
    return _most_specific(found, search)


def _may_assume(view: View, lexicon: Lexicon, topic: Topic) -> bool:
    """Whether a statement without a part may be taken for one about the foliage."""
    general = lexicon.parts.general
    return not topic.on_plant or any(view.has_concept(at, general) for at in range(len(view.words)))


def _carried(search: Search) -> Iterator[Match]:
    """Phrases of which a word stands in an earlier sentence and is meant by "they", "it" or "one"."""
    table, present, things = search.lexicon.phrases, search.view.where.keys(), search.topic.things
    numbers = {number for item in things for number in table.by_item.get(item, ())}
    for number in sorted(numbers):
        phrase = table.phrases[number]
        missing = [item for item in phrase.core if item not in present]
        if missing and len(missing) < len(phrase.core) and things.issuperset(missing) and (
                _may_be_carried(search, phrase)):
            left = tuple(item for item in phrase.core if item not in missing)
            if left != (phrase.denied,):
                for match in _placed(search, phrase, left):
                    yield match._replace(certainty=match.certainty * search.certainties.carried)


def _may_be_carried(search: Search, phrase: Phrase) -> bool:
    """Whether what was spoken of before can show the sign: spots on flowers are not on leaves."""
    wanted = search.lexicon.parts.section_items.get(phrase.section)
    spoken = search.topic.parts
    return phrase.kind in SENSED_KINDS and (not wanted or not spoken or not wanted.isdisjoint(spoken))


def _placed(search: Search, phrase: Phrase, items: tuple[int, ...]) -> list[Match]:
    """The tightest placings of a phrase, one for each place of its rarest word."""
    found = []
    for anchor in search.view.where[items[0]][:_MOST_PLACES]:
        core = _core_near(search.view, phrase, items, anchor, search.lexicon.parts)
        if core is None or not _negation_fits(search, phrase, core) or counts_other(search, phrase, core):
            continue
        part, certainty = part_of(search, phrase, core)
        if certainty:
            places = search.view.covered((*core, part) if part >= 0 else core, items)
            sure = 1.0 if search.view.corrected.isdisjoint(places) else search.certainties.slip
            if not phrase.alone or _stands_alone(search, places):
                found.append(Match(phrase, core, part, certainty * sure, places))
    return found


def _stands_alone(search: Search, places: frozenset[int]) -> bool:
    """Whether the item of a list, from comma to comma or from "or" to "or", has no other word of weight."""
    view, first, end = search.view, min(places), max(places) + 1
    scopes = search.lexicon.scopes
    while first and not _item_begins(view, first, scopes.joiners):
        first -= 1
    while end < len(view.words) and not _item_begins(view, end, scopes.joiners):
        end += 1
    idle = (search.lexicon.idle, scopes.light, scopes.relations)
    return all(at in places or any(view.words[at] in words for words in idle) for at in range(first, end))


def _item_begins(view: View, at: int, joiners: frozenset[str]) -> bool:
    return bool(view.sentence.gaps[at]) or view.words[at] in joiners or view.clauses[at] != view.clauses[at - 1]


def _core_near(view: View, phrase: Phrase, items: tuple[int, ...], anchor: int,
               parts: PartTable) -> tuple[int, ...] | None:
    """The nearest words for each item; None if they lie too far apart. A spot on a part may be named further off, and
    what it came after further still."""
    costs = view.costs
    core = [anchor]
    for item in items[1:]:
        core.append(min(view.where[item], key=lambda at: (abs(costs[at] - costs[anchor]), at)))
    first, more = (_VETO_FIRST, _VETO_MORE) if phrase.veto else (_REACH_FIRST, _REACH_MORE)
    reach = first + more * (len(items) - 1)
    if any(view.has_concept(at, parts.places) for at in core):
        reach += _PLACE_MORE
    if not phrase.veto and any(view.has_concept(at, parts.occasions) for at in core):
        reach += _OCCASION_MORE
    return tuple(core) if costs[max(core)] - costs[min(core)] <= reach else None


def _negation_fits(search: Search, phrase: Phrase, core: tuple[int, ...]) -> bool:
    """Whether the "not" of a phrase denies its other words: it comes first, with nothing weighty between."""
    if phrase.denied < 0:
        return True
    view, scopes = search.view, search.lexicon.scopes
    negations = view.where.get(phrase.denied, ())
    others = [at for at in core if at not in negations]
    for negation in (at for at in core if at in negations):
        target = min((at for at in others if at > negation), default=-1)
        if target < 0 or target - negation > _NEGATION_REACH or view.clauses[target] != view.clauses[negation]:
            return bool(others) and negation - max(others) <= 2 and _closes(view, negation)
        between = [at for at in range(view.unit_ends[negation], target) if at not in core]
        if between and view.words[between[0]] in scopes.joiners:
            return False
        if any(view.words[at] in scopes.ends or (view.senses[at] and view.words[at] not in scopes.see_through)
               for at in between):
            return False
    return True


def _closes(view: View, at: int) -> bool:
    """Whether a negation stands behind and apart: "flowers, none", not "on a new leaf, never lost a bulb"."""
    end = view.stretch(at, at)[1]
    return at == end or bool(view.sentence.gaps[at] and not any(at < head <= end for head in view.heads))


def _most_specific(matches: list[Match], search: Search) -> list[Match]:
    """Matches that no weightier one of the same kind contains, and that lie in no phrase of another meaning."""
    vetoes = [match for match in matches if match.phrase.veto]
    open_matches = [match for match in matches if not match.phrase.veto and not any(
        _vetoed(match, veto) and not _changed(match, veto, search) for veto in vetoes)]
    special = [match for match in open_matches if not any(_more_special(other, match) for other in open_matches)]
    kept: list[Match] = []
    for match in sorted(special, key=_order):
        if not any(_covers(other, match) for other in kept):
            kept.append(match)
    return kept


def _order(match: Match) -> tuple[float, float, int, str]:
    return -match.phrase.weight, -match.certainty, min(match.core), match.phrase.target


def _vetoed(match: Match, veto: Match) -> bool:
    """Whether a phrase of another meaning, as sure as the match itself, has words of it."""
    return veto.phrase.kind is match.phrase.kind and veto.phrase.target == match.phrase.target and (
        veto.certainty >= match.certainty and not veto.places.isdisjoint(match.core))


def _changed(match: Match, veto: Match, search: Search) -> bool:
    """Whether the other meaning was true before: "had green tips, now they are brown"."""
    view, last = search.view, max(match.core)
    first = view.clause_of(last)[0]
    return max(veto.places) < first and view.words[first] in search.lexicon.scopes.turns


def _more_special(other: Match, match: Match) -> bool:
    """Whether another match says something of a more special part in the same words: old leaves, not leaves."""
    return (0 <= other.part == match.part and other.phrase.kind is match.phrase.kind
            and other.phrase.depth > match.phrase.depth and not set(other.core).isdisjoint(match.core))


def _covers(other: Match, match: Match) -> bool:
    """Whether a match has all the words of another one and says more, or the same."""
    if other.phrase.kind is not match.phrase.kind or not other.places.issuperset(match.core):
        return False
    if other.phrase.target == match.phrase.target:
        return True
    return match.phrase.kind in EXCLUSIVE_KINDS and _says(other, match) > _says(match, other)


def _says(match: Match, other: Match) -> tuple[float, int]:
    """How much a match says beside another one: by the words of its phrase, then, where they are told of different
    things, by how many of them are named: specks that crawl below the leaf are no spots of the leaf."""
    named = len(match.core) + (match.part >= 0)
    return match.phrase.weight, named if match.phrase.section != other.phrase.section else 0
