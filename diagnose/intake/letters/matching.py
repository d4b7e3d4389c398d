"""Finds the phrases of the vocabulary in a sentence, by sense and whatever the order of words."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import NamedTuple

from diagnose.intake.letters.lexicon import Lexicon
from diagnose.intake.letters.owners import Owners
from diagnose.intake.letters.phrases import SENSED_KINDS, Phrase
from diagnose.intake.letters.view import View

__all__ = ["Match", "Topic", "matches_in"]

_REACH_FIRST, _REACH_MORE = 5, 4
_NEGATION_REACH = 5
_MOST_PLACES = 3
_TOPIC_CERTAINTY, _ASSUMED_CERTAINTY = 0.85, 0.6


class Match(NamedTuple):
    """A phrase met: the places of its words, that of the part's word (-1: carried on from before or assumed), and all
    places with the words of their units."""

    phrase: Phrase
    core: tuple[int, ...]
    part: int
    certainty: float
    places: frozenset[int]


@dataclass(slots=True)
class Topic:
    """What the sentences before spoke of: items of the parts named last, and of things a pronoun may stand for."""

    parts: frozenset[int] = frozenset()
    things: frozenset[int] = frozenset()
    age: int = 0


@dataclass(slots=True)
class _Search:
    view: View
    lexicon: Lexicon
    topic: Topic
    owners: Owners
    assume: bool
    found: list[Match] = field(default_factory=list)


def matches_in(view: View, lexicon: Lexicon, topic: Topic) -> list[Match]:
    """The matches of a sentence that no more specific match of the same kind covers."""
    table, where = lexicon.phrases, view.where
    search = _Search(view, lexicon, topic, Owners(view, lexicon.scopes, lexicon.parts.pronouns), _may_assume(view, lexicon, topic))
    present = where.keys()
    for item in where:
        for number in table.by_anchor.get(item, ()):
            if table.needs[number] <= present:
                search.found += _placed(search, table.phrases[number], table.phrases[number].core)
    if topic.things and not lexicon.parts.pronouns.isdisjoint(view.words):
        search.found += _carried(search)
    return _most_specific(search.found)


def _may_assume(view: View, lexicon: Lexicon, topic: Topic) -> bool:
    """Whether a statement without a part may be taken for one about the foliage."""
    general = lexicon.parts.general
    return not topic.parts or any(view.has_concept(at, general) for at in range(len(view.words)))


def _carried(search: _Search) -> Iterator[Match]:
    """Phrases of which a word stands in an earlier sentence and is meant by "they", "it" or "one"."""
    table, present, things = search.lexicon.phrases, search.view.where.keys(), search.topic.things
    numbers = {number for item in things for number in table.by_item.get(item, ())}
    for number in sorted(numbers):
        missing = table.needs[number] - present
        phrase = table.phrases[number]
        if missing and missing <= things and len(missing) < len(phrase.core) and phrase.kind in SENSED_KINDS:
            left = tuple(item for item in phrase.core if item not in missing)
            if left != (phrase.denied,):
                for match in _placed(search, phrase, left):
                    yield match._replace(certainty=match.certainty * _TOPIC_CERTAINTY)


def _placed(search: _Search, phrase: Phrase, items: tuple[int, ...]) -> list[Match]:
    """The tightest placings of a phrase, one for each place of its rarest word."""
    found = []
    for anchor in search.view.where[items[0]][:_MOST_PLACES]:
        core = _core_near(search.view, phrase, items, anchor)
        if core is None or not _negation_fits(search, phrase, core):
            continue
        part, certainty = _part_for(search, phrase, core)
        if certainty:
            places = search.view.covered((*core, part) if part >= 0 else core)
            found.append(Match(phrase, core, part, certainty, places))
    return found


def _core_near(view: View, phrase: Phrase, items: tuple[int, ...], anchor: int) -> tuple[int, ...] | None:
    costs = view.costs
    core = [anchor]
    for item in items[1:]:
        core.append(min(view.where[item], key=lambda at: (abs(costs[at] - costs[anchor]), at)))
    reach = _REACH_FIRST + _REACH_MORE * (len(items) - 1)
    return tuple(core) if costs[max(core)] - costs[min(core)] <= reach else None


def _negation_fits(search: _Search, phrase: Phrase, core: tuple[int, ...]) -> bool:
    """Whether the "not" of a phrase denies its other words: it comes first, with nothing weighty between."""
    if phrase.denied < 0:
        return True
    view = search.view
    negations = view.where.get(phrase.denied, ())
    others = [at for at in core if at not in negations]
    for negation in (at for at in core if at in negations):
        target = min((at for at in others if at > negation), default=-1)
        if target < 0 or target - negation > _NEGATION_REACH:
            return bool(others) and negation - max(others) <= 2 and _closes(view, negation)
        if any(view.senses[at] and view.words[at] not in search.lexicon.scopes.see_through and at not in core
               for at in range(view.unit_ends[negation], target)):
            return False
    return True


def _closes(view: View, at: int) -> bool:
    """Whether a negation stands behind and apart: "flowers, none"."""
    return bool(view.sentence.gaps[at]) or at + 1 == len(view.words)


def _part_for(search: _Search, phrase: Phrase, core: tuple[int, ...]) -> tuple[int, float]:
    """The place of the part that the words belong to, and how certain that is (0: they belong to another part)."""
    if phrase.part < 0 and phrase.general < 0:
        return -1, 1.0
    view = search.view
    tested = [at for at in core if not view.has_concept(at, search.lexicon.parts.places)] or list(core)
    owners = [search.owners.of(at) for at in tested]
    if phrase.general >= 0:
        return _whole_plant(search, phrase, core, owners)
    if any(owners):
        fitting = [at for at in view.where.get(phrase.part, ()) if all(not group or at in group for group in owners)]
        if fitting:
            return min(fitting, key=lambda at: abs(view.costs[at] - view.costs[core[0]])), 1.0
        return _split_part(search, phrase, core, owners)
    return -1, _carried_part(search, phrase, core) if phrase.kind in SENSED_KINDS else 0.0


def _split_part(search: _Search, phrase: Phrase, core: tuple[int, ...],
                owners: list[frozenset[int]]) -> tuple[int, float]:
    """A part told by a head and a modifier that stand apart: "leaves: the lowest of them yellow"."""
    head, modifier = search.lexicon.parts.split.get(phrase.part, (-1, -1))
    view = search.view
    near = [at for at in view.where.get(modifier, ()) if view.clauses[at] == view.clauses[core[0]]
            and abs(view.costs[at] - view.costs[core[0]]) <= _REACH_FIRST]
    heads = [at for at in view.where.get(head, ()) if all(not group or at in group for group in owners)]
    return (heads[-1], 1.0) if near and heads else (-1, 0.0)


def _carried_part(search: _Search, phrase: Phrase, core: tuple[int, ...]) -> float:
    """How certain it is that words without a part of their own speak of the part of the sentence before."""
    parts, view = search.lexicon.parts, search.view
    weak = all(view.senses[at] is None or view.has_concept(at, parts.weak) for at in core)
    if weak and not any(search.owners.is_pronoun(at) for at in core):
        return 0.0
    if phrase.part in search.topic.parts:
        return _TOPIC_CERTAINTY
    head, modifier = parts.split.get(phrase.part, (-1, -1))
    if head in search.topic.parts and any(view.clauses[at] == view.clauses[core[0]] for at in view.where.get(modifier, ())):
        return _TOPIC_CERTAINTY
    return _ASSUMED_CERTAINTY if search.assume and not weak and phrase.part in parts.assumed else 0.0


def _whole_plant(search: _Search, phrase: Phrase, core: tuple[int, ...],
                 owners: list[frozenset[int]]) -> tuple[int, float]:
    """A statement about the whole plant: no part owns its words, and the plant is named, "it", or taken as read."""
    if any(owners):
        return -1, 0.0
    view = search.view
    costs = [abs(view.costs[at] - view.costs[core[0]]) for at in view.where.get(phrase.general, ())]
    if costs and min(costs) <= _REACH_FIRST + _REACH_MORE:
        return view.where[phrase.general][costs.index(min(costs))], 1.0
    if not search.lexicon.parts.single.isdisjoint(view.words):
        return -1, _TOPIC_CERTAINTY
    return -1, _ASSUMED_CERTAINTY if not search.topic.parts else 0.0


def _most_specific(matches: list[Match]) -> list[Match]:
    """Matches that no weightier one of the same kind contains, and that lie in no phrase of another meaning."""
    vetoes = [(match.phrase.kind, match.phrase.target, match.places) for match in matches
              if match.phrase.veto and match.certainty > _ASSUMED_CERTAINTY]
    kept: list[Match] = []
    for match in sorted(matches, key=lambda one: (-one.phrase.weight, -one.certainty, min(one.core), one.phrase.target)):
        core = frozenset(match.core)
        if match.phrase.veto or any(kind is match.phrase.kind and target == match.phrase.target and
                                    not core.isdisjoint(places) for kind, target, places in vetoes):
            continue
        if not any(_covers(other, match, core) for other in kept):
            kept.append(match)
    return kept


def _covers(other: Match, match: Match, core: frozenset[int]) -> bool:
    if other.phrase.kind is not match.phrase.kind or not core <= other.places:
        return False
    if other.phrase.target == match.phrase.target:
        return True
    return other.phrase.weight > match.phrase.weight
