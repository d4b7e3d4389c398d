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
from collections.abc import Collection, Mapping, Sequence
from types import ModuleType
from typing import Any

from diagnose.frozen import frozen
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


@frozen
class Firing:
    """A rule that fired, the symbols it matched (a negated one carries the absence mark) and how certain that is.

    ``certainty`` is the least of its symbols' certainties, in (0, 1]; of several ways to match, the surest is kept.
    """

    rule: str
    matched: tuple[str, ...]
    gives: str = ""
    certainty: float = 1.0


Conjunction = tuple[str, ...]


class Chainer:
    """A compiled rule base. One object serves any number of cases, one thread at a time.

    Raises ValueError for rules that cannot be compiled: circles, doubled names, too many symbols in a conjunction.
    """

    def __init__(self, rules: Sequence[EngineRule]) -> None:
        doubled = [name for name, count in Counter(rule.name for rule in rules).items() if count > 1]
        if doubled:
            raise ValueError(f"rule names used twice: {', '.join(sorted(doubled))}")
        derived = frozenset(rule.gives for rule in rules)
        self._layers = [_Layer(layer, derived) for layer in layers_of(rules)]

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
    """The rules of one layer, spread over as many rulesets of the library as its limits ask for.

    Rules of one and the same conjunction are one rule to the library.
    """

    def __init__(self, rules: Sequence[EngineRule], derived: Collection[str]) -> None:
        self._rules = tuple((rule.name, rule.gives) for rule in rules)
        self._orders: dict[Conjunction, list[int]] = {}
        for order, rule in enumerate(rules):
            for symbols in conjunctions(rule.when):
                if len(symbols) > MOST_JOINED:
                    raise ValueError(f"rule {rule.name} joins more than {MOST_JOINED} symbols")
                self._orders.setdefault(tuple(sorted(symbols)), []).append(order)
        self._always = [symbols for symbols in self._orders if not symbols]
        self._shards = [_Shard(part, derived) for part in _shards([symbols for symbols in self._orders if symbols])]
        self._negated = {name: absent(name) for symbols in self._orders for name in symbols
                         if name.startswith(ABSENT_MARK)}

    def run(self, known: Mapping[str, float]) -> list[Firing]:
        stated = known.keys() | {name for name, plain in self._negated.items() if plain not in known}
        best: dict[int, tuple[float, Conjunction]] = {}
        for symbols in (*self._always, *(one for shard in self._shards for one in shard.run(stated))):
            match = -min([known.get(name, 1.0) for name in symbols], default=1.0), symbols
            for order in self._orders[symbols]:
                if order not in best or match < best[order]:
                    best[order] = match
        found = []
        for order in sorted(best):
            (name, gives), (minus_certainty, symbols) = self._rules[order], best[order]
            found.append(Firing(name, symbols, gives, -minus_certainty))
        return found


def _shards(found: Sequence[Conjunction]) -> list[list[Conjunction]]:
    """The conjunctions, cut where the library's limits ask for it."""
    shards: list[tuple[list[Conjunction], Counter[str]]] = []
    for symbols in found:
        room = next((shard for shard in shards if len(shard[0]) < MOST_RULES
                     and all(shard[1][name] < MOST_USES for name in symbols)), None)
        if room is None:
            room = ([], Counter())
            shards.append(room)
        room[0].append(symbols)
        room[1].update(symbols)
    return [shard[0] for shard in shards]


class _Shard:
    """One ruleset of the library with one session, fed by batches and emptied after each.

    Its size is what it costs to make. So it is made when first needed, of the rules whose rarest symbol that case
    states, and made anew of all rules by the first case that states another one. Taking in a fact costs as much as
    there are rules with it. So only the facts of rules whose rarest symbol is stated go in; the others cannot fire.
    """

    def __init__(self, found: Sequence[Conjunction], derived: Collection[str]) -> None:
        self._by_rarest = _by_rarest(found, derived)
        self._joined = {name: frozenset(itertools.chain.from_iterable(rules))
                        for name, rules in self._by_rarest.items()}
        self._made: list[Conjunction] = []
        self._made_for: set[str] = set()
        self._facts: dict[str, str] = {}
        self._library: Any = None
        self._handle = 0

    def __getstate__(self) -> dict[str, object]:
        """A copy, or one kept for later, makes a ruleset of its own."""
        return {**vars(self), "_made": [], "_made_for": set(), "_facts": {}, "_library": None, "_handle": 0}

    def run(self, stated: set[str]) -> list[Conjunction]:
        rarest = stated & self._by_rarest.keys()
        if not rarest:  # no rule can fire, and the library crashes on an empty batch
            return []
        if not rarest <= self._made_for:
            self._make(set(self._by_rarest) if self._handle else rarest)
        useful = stated.intersection(itertools.chain.from_iterable([self._joined[name] for name in rarest]))
        batch = "[" + ",".join([self._facts[name] for name in sorted(useful)]) + "]"
        try:
            fired = self._drain(self._library.assert_facts(self._handle, batch))
            self._library.retract_facts(self._handle, batch)
        except BaseException as error:  # an interrupt too would leave this case's facts to the next one
            self._make(self._made_for)
            if isinstance(error, Exception):
                raise EngineFault(f"the rule library failed: {error}") from error
            raise
        return fired

    def _drain(self, result: tuple[int, int]) -> list[Conjunction]:
        code, state = result
        if code:
            raise EngineFault(f"the rule library refused a batch with code {code}")
        fired: list[Conjunction] = []
        started = self._library.start_action_for_state(self._handle, state)
        message = started[1] if started else None
        while message:
            name = message[2:message.index('"', 2)]  # {"r12":{...}}: the name of the rule comes first
            if name != "sentinel":
                fired.append(self._made[int(name[1:])])
            message = self._library.complete_and_start_action(self._handle, state)
        return fired

    def _make(self, rarest: set[str]) -> None:
        """Make the ruleset of the rules with these rarest symbols, in place of the one there is."""
        self._library = _load_library()
        if self._handle:
            self._library.delete_state(self._handle, "0")
            self._library.delete_ruleset(self._handle)
        self._made_for, self._made = rarest, [symbols for name in sorted(rarest) for symbols in self._by_rarest[name]]
        numbers = {name: number for number, name in enumerate(sorted({name for one in self._made for name in one}))}
        if len({_fnv32(f"f{number}") for number in numbers.values()}) != len(numbers):
            raise ValueError("two fact ids share a hash; the library would take them for one")
        self._facts = {name: _fact(number) for name, number in numbers.items()}
        self._handle = self._library.create_ruleset(f"layer{next(_ruleset_numbers)}", _ruleset(self._made, numbers))
        opening = json.dumps([{"open": 1, "id": "open", "sid": "0"}])
        self._drain(self._library.assert_facts(self._handle, opening))  # else the session could not be deleted


def _by_rarest(found: Sequence[Conjunction], derived: Collection[str]) -> dict[str, list[Conjunction]]:
    """The conjunctions by the symbol of theirs that the fewest cases state.

    As it is known without cases: one that a case tells is rarer than one that rules give, and that than an absence; of
    the same sort, the one with the fewest uses.
    """
    uses = Counter(name for symbols in found for name in symbols)
    rarity = {name: (name.startswith(ABSENT_MARK), name in derived, uses[name], name) for name in uses}
    rules: dict[str, list[Conjunction]] = {}
    for symbols in found:
        rules.setdefault(min(symbols, key=rarity.__getitem__), []).append(symbols)
    return rules


def _ruleset(found: Sequence[Conjunction], numbers: Mapping[str, int]) -> str:
    rules: dict[str, Any] = {
        f"r{number}": {"all": [{f"a{place}": _pattern(numbers[name])} for place, name in enumerate(symbols)]}
        for number, symbols in enumerate(found)
    }
    rules["handled"] = {"all": [{"a0": {"$ex": {"g": 1}}}, {"a1": {"never": 1}}]}
    rules["sentinel"] = {"all": [{"a0": {"open": 1}}]}  # a session in which nothing fired cannot be deleted
    return json.dumps(rules)


def _fact(number: int) -> str:
    return json.dumps({"g": number % BUCKETS, "p": number, "id": f"f{number}", "sid": "0"})


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
