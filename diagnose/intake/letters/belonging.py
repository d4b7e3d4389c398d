"""To which part of the plant the words of a phrase belong: named beside them, carried on from before, or assumed."""

from __future__ import annotations

from dataclasses import dataclass

from diagnose.intake.letters.lexicon import Lexicon
from diagnose.intake.letters.owners import Owners
from diagnose.intake.letters.phrases import SENSED_KINDS, Kind, Phrase
from diagnose.intake.letters.view import View
from diagnose.model.certainties import Certainties

__all__ = ["Search", "Topic", "may_have_part", "part_of"]

_GENERAL_REACH = 10
_MODIFIER_REACH = 6
_SHORT_CLAUSE = 4
_MOST_ADJECTIVES = 3


@dataclass(slots=True)
class Topic:
    """What the sentences before spoke of: items of the parts named last (``on_plant``: not only of the pot; ``several``
    and ``lone`` by their number), and of things a pronoun may stand for; ``marks`` has whether marks were several."""

    parts: frozenset[int] = frozenset()
    on_plant: bool = False
    things: frozenset[int] = frozenset()
    several: frozenset[int] = frozenset()
    lone: frozenset[int] = frozenset()
    marks: frozenset[bool] = frozenset()
    age: int = 0


@dataclass(slots=True)
class Search:
    """A sentence in which phrases are looked for. ``assume``: what names no part may be told of the foliage."""

    view: View
    lexicon: Lexicon
    topic: Topic
    owners: Owners
    assume: bool

    @property
    def certainties(self) -> Certainties:
        """How far readings of each kind can be relied on."""
        return self.lexicon.speech.certainties


def may_have_part(search: Search, phrase: Phrase) -> bool:
    """Whether the part of a phrase is named in the sentence, was named before, or may be assumed."""
    part, parts = phrase.part, search.lexicon.parts
    return part < 0 or part in search.view.where or part in search.topic.parts or part in parts.split or (
        search.assume and part in parts.assumed)


def part_of(search: Search, phrase: Phrase, core: tuple[int, ...]) -> tuple[int, float]:
    """The place of the part that the words belong to, and how certain that is (0: they belong to another part)."""
    view = search.view
    if phrase.part < 0 and phrase.general < 0:
        return -1, 1.0 if _of_section(search, phrase, core) else 0.0
    parts = search.lexicon.parts
    negations = view.where.get(phrase.denied, ())
    tested = [at for at in core if not view.has_concept(at, parts.places) and at not in view.heads
              and at not in negations] or list(core)
    named = frozenset(view.where.get(phrase.part, ()))
    both = named if named.issubset(core) else frozenset(at for at in named if view.has_concept(at, parts.places))
    besides = frozenset(core) - both    # "leaf ends" names the leaf too
    owners = [search.owners.of(at, besides) for at in tested]
    if phrase.general >= 0:
        return _whole_plant(search, phrase, core, owners)
    if any(owners):
        if all(_of_thing(search, at, core) for at in core):
            return -1, 0.0
        fitting = [at for at in view.where.get(phrase.part, ()) if all(not group or at in group for group in owners)]
        if fitting:
            part = min(fitting, key=lambda at: abs(view.costs[at] - view.costs[core[0]]))
            lost = _loses_something(search, core, part) or _of_mark_on(search, core, part)
            return (-1, 0.0) if lost else (part, 1.0)
        return _split_part(search, phrase, core, owners)
    return -1, _carried_part(search, phrase, core) if phrase.kind in SENSED_KINDS else 0.0


def _loses_something(search: Search, core: tuple[int, ...], part: int) -> bool:
    """Whether the part loses something the phrase does not name: "the leaf has lost its gloss"."""
    view, scopes = search.view, search.lexicon.scopes
    after = [view.right_behind(at) for at in core if part < at and view.has_concept(at, search.lexicon.parts.bound)
             and max(core) == at]
    return any(at >= 0 and (view.words[at] in scopes.articles or view.words[at] in scopes.see_through
                            or view.words[at] in search.lexicon.parts.pronouns) for at in after)


def _of_mark_on(search: Search, core: tuple[int, ...], part: int) -> bool:
    """Whether all words are colours that a mark on the part has: "pits in the leaf, yellowish first"."""
    view, parts, relations = search.view, search.lexicon.parts, search.lexicon.scopes.relations
    rims = {at for at in core if _is_rim(view, at, parts.rims, search.lexicon.scopes.having)}
    tints = [at for at in core if not view.has_concept(at, parts.counts) and at not in rims]
    governed = not relations.isdisjoint(view.words[max(0, part - _MOST_ADJECTIVES) : part])
    if not governed or not tints or not all(view.has_concept(at, parts.tints) for at in tints):
        return False
    if rims:
        return any(view.has_concept(at, parts.marks) and at not in core for at in range(min(core)))
    first = min(tints)
    marks = [at for at in range(first) if at not in core and view.has_concept(at, parts.marks)
             and view.halves[at] == view.halves[first]]
    if not marks:
        return False
    if first < part:
        return not relations.isdisjoint(view.words[first:part])
    return _stands_apart(search, max(part, *marks), first)


def _is_rim(view: View, at: int, rims: frozenset[str], having: frozenset[str]) -> bool:
    """Whether a word names the rim that something is told to have: "a patch on the leaf with a dark edge"."""
    before = view.words[max(0, at - _MOST_ADJECTIVES) : at]
    return view.has_concept(at, rims) and not having.isdisjoint(before)


def _stands_apart(search: Search, part: int, first: int) -> bool:
    """Whether a comma, and no "and" or "which" before it, parts a word from the part named before."""
    view, scopes = search.view, search.lexicon.scopes
    for at in range(part + 1, first + 1):
        if view.sentence.gaps[at]:
            return view.words[at] not in scopes.relatives
        if view.words[at] in scopes.joiners or view.words[at] in scopes.relatives:
            return False
    return False


def _of_section(search: Search, phrase: Phrase, core: tuple[int, ...]) -> bool:
    """Whether a phrase that names no part is not told of a part that its sign cannot be on."""
    allowed = search.lexicon.parts.sections.get(phrase.section)
    if not allowed:
        return True
    if _names_place_of_other(search, phrase, core):
        return False
    things = [at for at in core if search.view.has_concept(at, search.lexicon.parts.things)]
    owners = {owner for at in things for owner in search.owners.of(at)}
    return not owners or any(search.view.has_concept(at, allowed) for at in owners)


def _split_part(search: Search, phrase: Phrase, core: tuple[int, ...],
                owners: list[frozenset[int]]) -> tuple[int, float]:
    """A part told by a head and a modifier that stand apart: "leaves: the lowest of them yellow". A modifier that
    makes up another part there ("old bulbs dry, new bulbs firm") is that one's alone."""
    head, modifier = search.lexicon.parts.split.get(phrase.part, (-1, -1))
    view = search.view
    near = [at for at in view.where.get(modifier, ()) if view.clauses[at] == view.clauses[core[0]]
            and abs(view.costs[at] - view.costs[core[0]]) <= _MODIFIER_REACH
            and (at not in view.heads or any(at in group for group in owners))]
    heads = [at for at in view.where.get(head, ()) if all(not group or at in group for group in owners)]
    return (heads[-1], 1.0) if near and heads else (-1, 0.0)


def _carried_part(search: Search, phrase: Phrase, core: tuple[int, ...]) -> float:
    """How certain it is that words without a part of their own speak of the part of the sentence before."""
    parts, view = search.lexicon.parts, search.view
    if any(view.has_concept(at, parts.bound) for at in core):
        return 0.0
    if all(search.owners.is_foreign(at) for at in core) or any(_of_thing(search, at, core) for at in core):
        return 0.0
    if len(core) == 1 and (_before_unknown_noun(search, core[0]) or _of_writer(search, core[0])):
        return 0.0
    spoken_of = any(search.owners.is_pronoun(at) for at in core)
    weak = all(view.is_plain(at) or view.has_concept(at, parts.weak) for at in core)
    if (weak or phrase.kind is Kind.HEALTH) and not spoken_of:
        return 0.0
    sure = 1.0 if spoken_of or len(core) > 1 else search.certainties.lone_word
    if phrase.part in _meant(search, core[0]):
        return sure * search.certainties.carried
    head, modifier = parts.split.get(phrase.part, (-1, -1))
    near = any(view.clauses[at] == view.clauses[core[0]] for at in view.where.get(modifier, ()))
    if near and head in search.topic.parts:
        return sure * search.certainties.carried
    of_other = spoken_of and not search.topic.on_plant and (
        bool(search.topic.things) or (bool(search.topic.parts) and parts.single.isdisjoint(view.words)))
    told_of_sign = phrase.kind is Kind.SIGN and search.assume and not weak and not of_other and (
        not _names_place_of_other(search, phrase, core))
    return sure * search.certainties.assumed if told_of_sign and phrase.part in parts.assumed else 0.0


def _names_place_of_other(search: Search, phrase: Phrase, core: tuple[int, ...]) -> bool:
    """Whether a word names a spot on a part that the sign is not on: "tips of the roots" are no tips of leaves."""
    view, places = search.view, search.lexicon.parts.places
    allowed = search.lexicon.parts.sections.get(phrase.section, frozenset())
    return not phrase.veto and any(
        at in view.heads and view.has_concept(at, places) and not view.has_concept(at, allowed) for at in core)


def _before_unknown_noun(search: Search, at: int) -> bool:
    """Whether a word says something of a noun behind it that nobody knows: "it eats coffee makers"."""
    view, scopes = search.view, search.lexicon.scopes
    after = view.right_behind(at)
    if after < 0:
        return False
    word = view.words[after]
    small = word in scopes.small or view.stems[after] in scopes.cues
    return view.is_plain(after) and word.isalpha() and not small and word not in search.lexicon.idle


def _of_writer(search: Search, at: int) -> bool:
    """Whether the word tells what the writer does or is: "I turned pale", "I tore up the label"."""
    view, scopes = search.view, search.lexicon.scopes
    before = at - 1
    while before >= 0 and (view.words[before] in scopes.copulas or view.words[before] in scopes.general):
        before -= 1
    return before >= 0 and view.words[before] in scopes.writer and view.clauses[before] == view.clauses[at]


def _meant(search: Search, at: int) -> frozenset[int]:
    """The parts spoken of before that agree in number with the pronoun in the clause of a word."""
    topic, parts = search.topic, search.lexicon.parts
    first = search.view.clause_of(at)[0]
    before = search.view.words[first:at]
    if any(word in parts.several for word in before):
        return topic.several or topic.parts
    return topic.lone or topic.parts if any(word in parts.lone for word in before) else topic.parts


def _of_thing(search: Search, at: int, core: tuple[int, ...]) -> bool:
    """Whether a word stands before a mark or animal that is not of the phrase: the black of "black gnats"."""
    view, things = search.view, search.lexicon.parts.things
    following = view.unit_ends[at]
    if not view.has_concept(at, search.lexicon.parts.tints):
        return False
    for _ in range(_MOST_ADJECTIVES):
        if following >= len(view.words) or view.sentence.gaps[following]:
            return False
        if view.is_plain(following) and view.words[following] not in search.lexicon.parts.pointed:
            return False
        if view.has_concept(following, things):
            return following not in core
        following = view.unit_ends[following]
    return False


def _whole_plant(search: Search, phrase: Phrase, core: tuple[int, ...],
                 owners: list[frozenset[int]]) -> tuple[int, float]:
    """A statement about the whole plant: no part owns its words, and the plant is named, "it", or taken as read."""
    view, parts = search.view, search.lexicon.parts
    around = all(view.has_concept(at, parts.around) for group in owners for at in group)
    if any(owners) and not around and not _directly_before(search, phrase, core):
        return -1, 0.0
    costs = [abs(view.costs[at] - view.costs[core[0]]) for at in view.where.get(phrase.general, ())]
    if costs and min(costs) <= _GENERAL_REACH:
        return view.where[phrase.general][costs.index(min(costs))], 1.0
    if any(view.words[at] in parts.single and view.clauses[at] == view.clauses[max(core)]
           for at in range(max(core))):
        return -1, search.certainties.carried
    short = sum(clause == view.clauses[core[0]] for clause in view.clauses) <= _SHORT_CLAUSE and not (
        _of_writer(search, core[0]))
    return -1, search.certainties.assumed if short and not search.topic.on_plant and not any(owners) else 0.0


def _directly_before(search: Search, phrase: Phrase, core: tuple[int, ...]) -> bool:
    """Whether the plant itself is the subject, with no part between: "new shoots damaged or plant killed"."""
    view, first = search.view, min(core)
    named = [at for at in view.where.get(phrase.general, ())
             if at < first <= at + _SHORT_CLAUSE and view.clauses[at] == view.clauses[first]]
    return bool(named) and not any(named[-1] < head < first for head in view.heads)
