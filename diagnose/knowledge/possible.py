"""Can a test ever hold? Two stages at once cannot, nor dry air above 60 %, nor bulbs on a plant that has none."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from diagnose.model.knowledge import AllOf, AnyOf, Atom, EventTest, KnowledgeBase, MeasureTest, Test

__all__ = ["can_hold"]

_ONE_AT_A_TIME = ("stage", "group", "medium", "size", "season", "place", "reservoir")
_MOST_WAYS = 5000  # a test with more ways to hold is taken as possible

Leaf = Atom | EventTest | MeasureTest


def can_hold(base: KnowledgeBase, test: Test) -> bool:
    """Whether at least one way of a test to hold does not contradict itself."""
    ways = list(itertools.islice(_ways(test), _MOST_WAYS + 1))
    return len(ways) > _MOST_WAYS or any(_consistent(base, way) for way in ways)


def _ways(test: Test) -> Iterator[tuple[Leaf, ...]]:
    """The alternatives of a test, each as leaves that must all hold."""
    match test:
        case AllOf(tests):
            for parts in itertools.product(*(list(_ways(part)) for part in tests)):
                yield tuple(itertools.chain.from_iterable(parts))
        case AnyOf(tests):
            for part in tests:
                yield from _ways(part)
        case Atom() | EventTest() | MeasureTest():
            yield (test,)


def _consistent(base: KnowledgeBase, way: tuple[Leaf, ...]) -> bool:
    if any(_clash(one, other) for one, other in itertools.combinations(way, 2)):
        return False
    return _some_group(base, way)


def _clash(one: Leaf, other: Leaf) -> bool:
    match one, other:
        case Atom(), Atom():
            return _atoms_clash(one, other)
        case EventTest(), EventTest():
            return _events_clash(one, other)
        case MeasureTest(), MeasureTest():
            return _measures_clash(one, other)
    return False


def _atoms_clash(one: Atom, other: Atom) -> bool:
    if one.kind != other.kind:
        return False
    if one.wanted == other.wanted:
        return one.wanted and one.kind in _ONE_AT_A_TIME and not set(one.values) & set(other.values)
    wanted, unwanted = (one, other) if one.wanted else (other, one)
    every = unwanted.kind == "condition" or len(unwanted.values) == 1  # "no sign: [a, b]" asks for one of them only
    return every and set(wanted.values) <= set(unwanted.values)


def _events_clash(one: EventTest, other: EventTest) -> bool:
    if one.event != other.event:
        return False
    if one.happened != other.happened:
        done, undone = (one, other) if one.happened else (other, one)
        return done.within and done.days <= undone.days
    if one.happened and one.within != other.within:
        lately, before = (one, other) if one.within else (other, one)
        return lately.days <= before.days
    return False


def _measures_clash(one: MeasureTest, other: MeasureTest) -> bool:
    if one.request != other.request or one.bound.need != other.bound.need or one.above == other.above:
        return False
    above, below = (one, other) if one.above else (other, one)
    return above.bound.value >= below.bound.value


def _some_group(base: KnowledgeBase, way: tuple[Leaf, ...]) -> bool:
    """Whether any plant group has the traits and the needs that are asked for, and is among the groups named."""
    atoms = [leaf for leaf in way if isinstance(leaf, Atom) and leaf.wanted]
    traits = [set(atom.values) for atom in atoms if atom.kind == "trait"]
    named = [set(atom.values) for atom in atoms if atom.kind == "group"]
    needs = [leaf.bound.need for leaf in way if isinstance(leaf, MeasureTest) and leaf.bound.need]
    return any(all(group.id in names for names in named) and all(values & set(group.traits) for values in traits)
               and all(need in group.needs for need in needs) for group in base.groups.values())
