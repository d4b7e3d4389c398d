"""What would fire if a few facts were different: only the rules that can notice, read plainly.

Weighing a circumstance takes a hundred and more variants of one case at every step, and the rule library needs a
millisecond or two for each. So the rules that a circumstance can touch are tried here on their conjunctions; all
others keep their firings. Firings come out as from the library, save that they do not say what they matched.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping

from diagnose.frozen import frozen
from diagnose.reason.engine import Firing
from diagnose.reason.formula import ABSENT_MARK, conjunctions
from diagnose.reason.layers import EngineRule, layers_of

__all__ = ["Touched", "WhatIf"]


@frozen
class _Plain:
    """A rule with its conjunctions, each split into symbols that must be true and symbols that must not be."""

    name: str
    gives: str
    ways: tuple[tuple[tuple[str, ...], tuple[str, ...]], ...]

    def certainty(self, true: Mapping[str, float]) -> float:
        """How certain it fires, 0 where it does not: the surest of its ways."""
        best = 0.0
        for needed, barred in self.ways:
            least = 1.0
            for name in needed:
                least = min(least, true.get(name, 0.0))
                if least <= best:
                    break
            else:
                if not any(name in true for name in barred):
                    best = max(best, least)
        return best


@frozen
class Touched:
    """The rules that some set of symbols can reach, in the order in which they must be tried."""

    rules: tuple[_Plain, ...]
    names: frozenset[str]


class WhatIf:
    """Finds and tries the rules that depend on given symbols."""

    def __init__(self, rules: Iterable[EngineRule]) -> None:
        self._rules = [_plain(rule) for layer in layers_of(tuple(rules)) for rule in layer]
        self._users: dict[str, set[str]] = {}
        for rule in self._rules:
            for needed, barred in rule.ways:
                for symbol in needed + barred:
                    self._users.setdefault(symbol, set()).add(rule.name)
        self._gives = {rule.name: rule.gives for rule in self._rules}

    def touched(self, symbols: Collection[str]) -> Touched:
        """The rules that depend on any of the symbols, through any number of others."""
        reached: set[str] = set()
        todo = list(symbols)
        while todo:
            fresh = self._users.get(todo.pop(), set()) - reached
            reached |= fresh
            todo.extend(self._gives[name] for name in fresh if self._gives[name])
        return Touched(tuple(rule for rule in self._rules if rule.name in reached), frozenset(reached))

    @staticmethod
    def run(touched: Touched, known: Mapping[str, float], kept: Iterable[Firing]) -> tuple[Firing, ...]:
        """Firings of the touched rules where ``known`` symbols are true and the ``kept`` firings stand."""
        true = dict(known)
        for firing in kept:
            if firing.gives:
                true[firing.gives] = max(firing.certainty, true.get(firing.gives, 0.0))
        fired = []
        for rule in touched.rules:
            certainty = rule.certainty(true)
            if certainty:
                fired.append(Firing(rule.name, (), rule.gives, certainty))
                if rule.gives:
                    true[rule.gives] = max(certainty, true.get(rule.gives, 0.0))
        return tuple(fired)


def _plain(rule: EngineRule) -> _Plain:
    ways = []
    for symbols in conjunctions(rule.when):
        barred = tuple(sorted(name[1:] for name in symbols if name.startswith(ABSENT_MARK)))
        ways.append((tuple(sorted(name for name in symbols if not name.startswith(ABSENT_MARK))), barred))
    return _Plain(rule.name, rule.gives, tuple(ways))
