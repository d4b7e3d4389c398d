"""The same rules in CLIPS (through clipspy): its own negation, a layer's rules less salient than those before it."""

from __future__ import annotations

from collections.abc import Collection, Sequence

import clips  # type: ignore[import-not-found, import-untyped, unused-ignore]

from diagnose.reason.formula import ABSENT_MARK, absent, conjunctions, symbols_of
from diagnose.reason.layers import EngineRule, layers_of

__all__ = ["InClips"]


class InClips:
    """A CLIPS rule for each conjunction; a symbol is a fact of a kind of its own; firings are noted in Python."""

    def __init__(self, rules: Sequence[EngineRule]) -> None:
        self._environment = clips.Environment()
        self._names = [rule.name for rule in rules]
        self._fired: list[int] = []
        self._environment.define_function(self._fired.append, "note")
        symbols = {name for rule in rules for name in (*symbols_of(rule.when), rule.gives) if name}
        self._facts = {name: f"(s{number})" for number, name in enumerate(sorted(symbols))}
        place = {name: number for number, name in enumerate(self._names)}
        for depth, layer in enumerate(layers_of(rules)):
            for rule in layer:
                for way, found in enumerate(conjunctions(rule.when)):
                    self._environment.build(self._rule(f"r{place[rule.name]}w{way}", depth, place[rule.name],
                                                       sorted(found), rule.gives))

    def _rule(self, name: str, depth: int, number: int, symbols: Sequence[str], gives: str) -> str:
        tests = [f"(not {self._facts[absent(s)]})" if s.startswith(ABSENT_MARK) else self._facts[s] for s in symbols]
        then = f"(assert {self._facts[gives]})" if gives else ""
        return f"(defrule {name} (declare (salience {-depth})) {' '.join(tests)} => (note {number}) {then})"

    def run(self, true: Collection[str]) -> set[str]:
        """The names of the rules that fire."""
        self._fired.clear()
        self._environment.reset()
        stated = " ".join(self._facts[s] for s in sorted(self._facts.keys() & true))
        if stated:  # it takes an empty text for a mistake
            self._environment.load_facts(stated)
        self._environment.run()
        return {self._names[number] for number in self._fired}
