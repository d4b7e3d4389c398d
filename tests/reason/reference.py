"""A plain reading of rules, layer by layer and without the library, to hold the engine against."""

from __future__ import annotations

import random
from collections.abc import Iterable, Mapping, Sequence

from diagnose.reason.engine import Firing
from diagnose.reason.formula import And, Formula, Not, Or, Symbol, absent, holds
from diagnose.reason.layers import EngineRule


class Reference:
    """What each rule and each symbol comes to for the true symbols of one case."""

    def __init__(self, rules: Sequence[EngineRule], true: Mapping[str, float]) -> None:
        self._rules, self._true = rules, true
        self._known: dict[str, float] = {}

    def symbol(self, name: str) -> float:
        """The certainty of a symbol, 0 where it is not true: as given, or by the surest rule that gives it."""
        if name not in self._known:
            givers = [self.formula(rule.when) for rule in self._rules if rule.gives == name]
            self._known[name] = max([self._true.get(name, 0.0), *givers])
        return self._known[name]

    def formula(self, formula: Formula, negated: bool = False) -> float:
        """The certainty of a formula: least of what must all hold, surest of the alternatives."""
        match formula:
            case Symbol(name):
                return (0.0 if self.symbol(name) else 1.0) if negated else self.symbol(name)
            case Not(part):
                return self.formula(part, not negated)
            case And(parts) | Or(parts):
                found = [self.formula(part, negated) for part in parts]
                return min(found, default=1.0) if isinstance(formula, And) != negated else max(found, default=0.0)

    def fired(self) -> dict[str, float]:
        """Every rule that fires, with its certainty."""
        found = {rule.name: self.formula(rule.when) for rule in self._rules}
        return {name: certainty for name, certainty in found.items() if certainty}

    def true_symbols(self) -> set[str]:
        """Every symbol that is true in the end."""
        names = {*self._true, *(rule.gives for rule in self._rules if rule.gives)}
        return {name for name in names if self.symbol(name)}


def as_table(firings: Iterable[Firing]) -> dict[str, float]:
    """Firings as rule name and certainty."""
    return {firing.rule: firing.certainty for firing in firings}


def check_matched(rule: EngineRule, firing: Firing, true: set[str]) -> None:
    """The matched symbols are true, and they alone make the formula true whatever else is."""
    positive = {name for name in firing.matched if not name.startswith("~")}
    negative = {absent(name) for name in firing.matched if name.startswith("~")}
    assert positive <= true
    assert not negative & true
    everything = true | positive | {f"s{n}" for n in range(20)}
    assert holds(rule.when, positive)
    assert holds(rule.when, everything - negative)


def random_formula(draw: random.Random, names: Sequence[str], depth: int = 2) -> Formula:
    """A random formula over some of the names."""
    kind = draw.choice(["symbol", "not", "and", "or"]) if depth else "symbol"
    if kind == "symbol":
        return Symbol(draw.choice(names))
    if kind == "not":
        return Not(random_formula(draw, names, depth - 1))
    parts = tuple(random_formula(draw, names, depth - 1) for _ in range(draw.randint(1, 3)))
    return And(parts) if kind == "and" else Or(parts)


def random_rules(seed: int, facts: int, derived: int, count: int) -> list[EngineRule]:
    """Random rules in shuffled order, without circles: derived symbol n only rests on facts and earlier ones."""
    draw = random.Random(seed)
    rules = []
    for number in range(count):
        level = draw.randint(0, derived)
        names = [f"s{n}" for n in range(facts)] + [f"d{n}" for n in range(level)]
        gives = f"d{level}" if level < derived and draw.random() < 0.7 else ""
        rules.append(EngineRule(f"rule {number}", random_formula(draw, names), gives))
    draw.shuffle(rules)
    return rules


def random_case(draw: random.Random, facts: int) -> dict[str, float]:
    """Some facts with a certainty each."""
    chosen = draw.sample(range(facts), draw.randint(0, facts))
    return {f"s{n}": draw.choice([1.0, 1.0, 0.9, 0.7, 0.35, 1e-5]) for n in chosen}
