"""Layers of a rule base: which rules must have fired before others may be tried.

A rule that reads a derived symbol stands in a later layer than the rules that derive it, so that "not derived"
can be stated between layers. A cycle has no such order and is refused.
"""

from __future__ import annotations

from collections.abc import Sequence
from graphlib import CycleError, TopologicalSorter

from diagnose.frozen import frozen
from diagnose.reason.formula import Formula, symbols_of

__all__ = ["EngineRule", "layers_of"]


@frozen
class EngineRule:
    """A named rule: when its formula is true it fires and, if ``gives`` is set, makes that symbol true."""

    name: str
    when: Formula
    gives: str = ""


def layers_of(rules: Sequence[EngineRule]) -> tuple[tuple[EngineRule, ...], ...]:
    """The rules in layers, order within a layer as given. Raises ValueError naming a cycle."""
    givers: dict[str, list[int]] = {}
    for number, rule in enumerate(rules):
        if rule.gives:
            givers.setdefault(rule.gives, []).append(number)
    before = {number: _needed(rule, givers) for number, rule in enumerate(rules)}
    try:
        order = list(TopologicalSorter(before).static_order())
    except CycleError as error:
        names = " -> ".join(rules[number].name for number in error.args[1])
        raise ValueError(f"these rules depend on each other in a circle: {names}") from error
    depth: dict[int, int] = {}
    for number in order:
        depth[number] = 1 + max((depth[earlier] for earlier in before[number]), default=-1)
    count = 1 + max(depth.values(), default=-1)
    return tuple(tuple(rule for n, rule in enumerate(rules) if depth[n] == layer) for layer in range(count))


def _needed(rule: EngineRule, givers: dict[str, list[int]]) -> list[int]:
    return [number for symbol in sorted(symbols_of(rule.when)) for number in givers.get(symbol, [])]
