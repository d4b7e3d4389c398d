"""Forward chaining on durable-rules, the only module that touches that library.

The library is fast at joining true facts and unsafe at nearly everything else, so it is given symbols only: no
numbers, no native negation, no empty batch, no asserts from actions, one session, sharded below its limits.
Thresholds, absences and the order of layers are decided here, in Python, before facts reach it.
"""

from __future__ import annotations

import itertools
import json
import os
import sys
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import ModuleType
from typing import Any

from diagnose.reason.formula import ABSENT_MARK, absent, conjunctions
from diagnose.reason.layers import EngineRule, layers_of

__all__ = ["Chainer", "EngineFault", "Firing"]

MOST_USES = 240  # rules that share one identical condition: 255 work, 256 fire wrongly
MOST_RULES = 4000  # rules in a ruleset: 4,096 work
MOST_JOINED = 15  # facts joined in a rule: 16 work
BUCKETS = 64
_ruleset_numbers = itertools.count(1)


class EngineFault(RuntimeError):
    """The library failed on facts that it should have taken: a fault of the program, not of the input."""


@dataclass(frozen=True)
class Firing:
    """A rule that fired, the symbols it matched (a negated one carries the absence mark) and how certain that is.

    ``certainty`` is the least of its symbols' certainties, in (0, 1]; of several ways to match, the surest is kept.
    """

    rule: str
    matched: tuple[str, ...]
    gives: str = ""
    certainty: float = 1.0


@dataclass(frozen=True)
class _Branch:
    rule: EngineRule
    order: int
    symbols: tuple[str, ...]


class Chainer:
    """A compiled rule base. One object serves any number of cases, one thread at a time.

    Raises ValueError for rules that cannot be compiled: circles, doubled names, too many symbols in a conjunction.
    """

    def __init__(self, rules: Sequence[EngineRule]) -> None:
        doubled = [name for name, count in Counter(rule.name for rule in rules).items() if count > 1]
        if doubled:
            raise ValueError(f"rule names used twice: {', '.join(sorted(doubled))}")
        self._layers = [_Layer(layer) for layer in layers_of(rules)]

    def run(self, true: Mapping[str, float]) -> tuple[Firing, ...]:
        """Every firing for these true symbols, each with its certainty in (0, 1].

        Firings come layer by layer, each rule once a case, in order of definition within a layer. A derived symbol
        is as certain as the surest rule that gives it.
        """
        known = dict(true)
        firings: list[Firing] = []
        for layer in self._layers:
            fired = layer.run(known)
            firings.extend(fired)
            for firing in fired:
                if firing.gives:
                    known[firing.gives] = max(firing.certainty, known.get(firing.gives, 0.0))
        return tuple(firings)


class _Layer:
    """The rules of one layer, spread over as many rulesets of the library as its limits ask for."""

    def __init__(self, rules: Sequence[EngineRule]) -> None:
        branches = [_Branch(rule, order, tuple(sorted(symbols)))
                    for order, rule in enumerate(rules) for symbols in conjunctions(rule.when)]
        for branch in branches:
            if len(branch.symbols) > MOST_JOINED:
                raise ValueError(f"rule {branch.rule.name} joins more than {MOST_JOINED} symbols")
        self._always = [branch for branch in branches if not branch.symbols]
        shards = [_Shard(part) for part in _shards([branch for branch in branches if branch.symbols])]
        self._open = [shard for shard in shards if not shard.shared]
        self._keyed: dict[str, list[_Shard]] = {}
        for shard in shards:
            if shard.shared:
                self._keyed.setdefault(min(shard.shared), []).append(shard)
        self._negated = sorted({name for branch in branches for name in branch.symbols if name.startswith(ABSENT_MARK)})

    def run(self, known: Mapping[str, float]) -> list[Firing]:
        stated = known.keys() | {name for name in self._negated if absent(name) not in known}
        keyed = [shard for symbol in stated & self._keyed.keys() for shard in self._keyed[symbol]]
        branches = [*self._always, *(branch for shard in (*self._open, *keyed) for branch in shard.run(stated))]
        rated = sorted(((branch.order, -min((known.get(name, 1.0) for name in branch.symbols), default=1.0),
                        branch.symbols, branch.rule) for branch in branches), key=lambda row: row[:3])
        best: dict[int, Firing] = {}
        for order, minus_certainty, symbols, rule in rated:
            best.setdefault(order, Firing(rule.name, symbols, rule.gives, -minus_certainty))
        return list(best.values())


def _shards(branches: Sequence[_Branch]) -> list[list[_Branch]]:
    """The branches by part, each part cut where the library's limits ask for it."""
    shards: dict[str, list[tuple[list[_Branch], Counter[str]]]] = {}
    for branch in branches:
        rooms = shards.setdefault(branch.rule.part, [])
        room = next((shard for shard in rooms if len(shard[0]) < MOST_RULES
                     and all(shard[1][name] < MOST_USES for name in branch.symbols)), None)
        if room is None:
            room = ([], Counter())
            rooms.append(room)
        room[0].append(branch)
        room[1].update(branch.symbols)
    return [shard[0] for rooms in shards.values() for shard in rooms]


class _Shard:
    """One ruleset of the library with one session, made when first needed, fed by batches and emptied after each."""

    def __init__(self, branches: Sequence[_Branch]) -> None:
        self._branches = branches
        self._names = frozenset(name for branch in branches for name in branch.symbols)
        self.shared = frozenset.intersection(*(frozenset(branch.symbols) for branch in branches))
        self._facts: dict[str, str] = {}
        self._library: Any = None
        self._handle = 0

    def run(self, stated: set[str]) -> list[_Branch]:
        if not self.shared <= stated:
            return []
        names = sorted(stated & self._names)
        if not names:  # the library crashes on an empty batch
            return []
        if not self._handle:
            if not any(stated.issuperset(branch.symbols) for branch in self._branches):
                return []  # no need to make it yet
            self._handle = self._create()
        batch = "[" + ",".join(self._facts[name] for name in names) + "]"
        try:
            fired = self._drain(self._library.assert_facts(self._handle, batch))
            self._library.retract_facts(self._handle, batch)
        except BaseException as error:  # an interrupt too would leave this case's facts to the next one
            self._rebuild()
            if isinstance(error, Exception):
                raise EngineFault(f"the rule library failed: {error}") from error
            raise
        return fired

    def _drain(self, result: tuple[int, int]) -> list[_Branch]:
        code, state = result
        if code:
            raise EngineFault(f"the rule library refused a batch with code {code}")
        fired: list[_Branch] = []
        started = self._library.start_action_for_state(self._handle, state)
        message = started[1] if started else None
        while message:
            name = message[2:message.index('"', 2)]  # {"r12":{...}}: the name of the rule comes first
            if name != "sentinel":
                fired.append(self._branches[int(name[1:])])
            message = self._library.complete_and_start_action(self._handle, state)
        return fired

    def _create(self) -> int:
        self._library = _load_library()
        numbers = {name: number for number, name in enumerate(sorted(self._names))}
        if len({_fnv32(f"f{number}") for number in numbers.values()}) != len(numbers):
            raise ValueError("two fact ids share a hash; the library would take them for one")
        self._facts = {name: json.dumps(_fact(number)) for name, number in numbers.items()}
        rules: dict[str, Any] = {
            f"r{number}": {"all": [{f"a{place}": _pattern(numbers[name])}
                                   for place, name in enumerate(branch.symbols)]}
            for number, branch in enumerate(self._branches)
        }
        rules["handled"] = {"all": [{"a0": {"$ex": {"g": 1}}}, {"a1": {"never": 1}}]}
        rules["sentinel"] = {"all": [{"a0": {"open": 1}}]}
        handle: int = self._library.create_ruleset(f"layer{next(_ruleset_numbers)}", json.dumps(rules))
        self._handle = handle
        opening = json.dumps([{"open": 1, "id": "open", "sid": "0"}])
        self._drain(self._library.assert_facts(handle, opening))  # a session in which nothing fired cannot be deleted
        return handle

    def _rebuild(self) -> None:
        self._library.delete_state(self._handle, "0")
        self._library.delete_ruleset(self._handle)
        self._handle = self._create()


def _fact(number: int) -> dict[str, Any]:
    return {"g": number % BUCKETS, "p": number, "id": f"f{number}", "sid": "0"}


def _pattern(number: int) -> dict[str, Any]:
    return {"$and": [{"g": number % BUCKETS}, {"p": number}]}


def _fnv32(text: str) -> int:
    """FNV-1a, 32 bits: the hash by which the library compares fact ids."""
    value = 0x811C9DC5
    for byte in text.encode():
        value = ((value ^ byte) * 0x01000193) & 0xFFFFFFFF
    return value


def _load_library() -> ModuleType:
    """The library's compiled part. On Python 3.13 one unused function is missing: binding it late avoids the error."""
    if "durable_rules_engine" in sys.modules:
        return sys.modules["durable_rules_engine"]
    flags = sys.getdlopenflags() if hasattr(sys, "getdlopenflags") else None
    if flags is not None:
        sys.setdlopenflags(os.RTLD_LAZY)
    try:
        import durable_rules_engine
    finally:
        if flags is not None:
            sys.setdlopenflags(flags)
    module: ModuleType = durable_rules_engine
    return module
