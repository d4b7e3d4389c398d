"""The least that durable-rules needs to answer rightly: symbols alone, layer by layer, no certainty, no explanation."""

from __future__ import annotations

import itertools
import json
import os
import sys
from collections import Counter
from collections.abc import Collection, Iterator, Sequence
from typing import Any

from diagnose.reason.formula import ABSENT_MARK, absent, conjunctions
from diagnose.reason.layers import EngineRule, layers_of

__all__ = ["SymbolsOnly"]

MOST_USES, BUCKETS = 240, 64
Named = tuple[str, tuple[str, ...]]  # a rule and one conjunction that makes it fire
_numbers = itertools.count(1)


def _library() -> Any:
    if hasattr(sys, "setdlopenflags"):
        sys.setdlopenflags(os.RTLD_LAZY)
    import durable_rules_engine
    return durable_rules_engine


class SymbolsOnly:
    """A rule of the library for each conjunction of each rule, one session a ruleset, emptied after each case."""

    def __init__(self, rules: Sequence[EngineRule]) -> None:
        self._gives = {rule.name: rule.gives for rule in rules}
        self._layers = [[_Ruleset(part) for part in _parts(layer)] for layer in layers_of(rules)]

    def run(self, true: Collection[str]) -> set[str]:
        """The names of the rules that fire."""
        known, fired = set(true), set[str]()
        for layer in self._layers:
            found = {name for ruleset in layer for name in ruleset.run(known)}
            fired |= found
            known |= {self._gives[name] for name in found}
        return fired


def _parts(rules: Sequence[EngineRule]) -> Iterator[list[Named]]:
    """The conjunctions, cut where a symbol would be used too often in one ruleset."""
    part, uses = list[Named](), Counter[str]()
    for name, symbols in ((rule.name, tuple(found)) for rule in rules for found in conjunctions(rule.when)):
        if any(uses[symbol] == MOST_USES for symbol in symbols):
            yield part
            part, uses = [], Counter()
        part.append((name, symbols))
        uses.update(symbols)
    yield part


class _Ruleset:
    def __init__(self, part: Sequence[Named]) -> None:
        self._library = _library()
        self._always = [name for name, symbols in part if not symbols]
        self._joined = [(name, symbols) for name, symbols in part if symbols]
        symbols = sorted({symbol for _, found in part for symbol in found})
        keys = {symbol: {"g": number % BUCKETS, "p": number} for number, symbol in enumerate(symbols)}
        self._facts = {symbol: json.dumps({**key, "id": f"f{key['p']}", "sid": "0"}) for symbol, key in keys.items()}
        self._negated = {symbol for symbol in symbols if symbol.startswith(ABSENT_MARK)}
        rules: dict[str, Any] = {
            f"r{number}": {"all": [{f"a{at}": {"$and": [{"g": keys[s]["g"]}, {"p": keys[s]["p"]}]}}
                                   for at, s in enumerate(found)]} for number, (_, found) in enumerate(self._joined)}
        rules["handled"] = {"all": [{"a0": {"$ex": {"g": 1}}}, {"a1": {"never": 1}}]}
        rules["sentinel"] = {"all": [{"a0": {"open": 1}}]}
        self._handle = self._library.create_ruleset(f"least{next(_numbers)}", json.dumps(rules))
        list(self._fired(json.dumps([{"open": 1, "id": "open", "sid": "0"}])))

    def run(self, known: Collection[str]) -> list[str]:
        stated = [self._facts[s] for s in sorted(self._facts.keys() & known)]
        stated += [self._facts[s] for s in sorted(self._negated) if absent(s) not in known]
        if not stated:
            return self._always
        batch = f"[{','.join(stated)}]"
        fired = [self._joined[int(name[1:])][0] for name in self._fired(batch)]
        self._library.retract_facts(self._handle, batch)
        return self._always + fired

    def _fired(self, batch: str) -> Iterator[str]:
        _, state = self._library.assert_facts(self._handle, batch)
        started = self._library.start_action_for_state(self._handle, state)
        message = started[1] if started else None
        while message:
            yield message[2:message.index('"', 2)]
            message = self._library.complete_and_start_action(self._handle, state)
