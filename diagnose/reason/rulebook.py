"""The compiled rule base: everything that is the same for every case, made once.

Each YAML rule becomes one engine rule of the same name. Rules that show a sign fire only where that sign was looked
at; a context of their own comes out as a symbol first, so that links to signs nobody looked at yet are known too.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

import numpy as np

from diagnose.model.facts import MeasureRequest
from diagnose.model.knowledge import Advice, Atom, EventTest, KnowledgeBase, MeasureTest, Shift, Shows, Test
from diagnose.reason.engine import Chainer
from diagnose.reason.formula import And, Symbol
from diagnose.reason.layers import EngineRule
from diagnose.reason.network import Floats, Places
from diagnose.reason.symbols import formula_of, leaf_tests, looked_at, symbol_of

__all__ = ["Rulebook", "evidence_rules"]

_STATED = re.compile(r"\{([a-z_0-9]+)\}")


class Rulebook:
    """Compiled rules and the static part of the network for a knowledge base."""

    def __init__(self, base: KnowledgeBase) -> None:
        self.base = base
        self.causes: tuple[str, ...] = tuple(base.causes)
        self.signs: tuple[str, ...] = tuple(base.signs)
        self.cause_number: Mapping[str, int] = {cause: n for n, cause in enumerate(self.causes)}
        self.sign_number: Mapping[str, int] = {sign: n for n, sign in enumerate(self.signs)}
        self.shows: Mapping[str, Shows] = {rule.rule: rule for c in base.causes.values() for rule in c.shows}
        self.cells: Mapping[str, tuple[int, int]] = {
            rule.rule: (self.cause_number[c.id], self.sign_number[rule.sign])
            for c in base.causes.values() for rule in c.shows}
        self.contexts: Mapping[str, Shows] = {_context(rule): rule for rule in self.shows.values() if rule.when.tests}
        self.shifts: Mapping[str, Shift] = {rule.rule: rule for c in base.causes.values() for rule in c.shifts}
        self.shifted: Mapping[str, int] = {
            rule.rule: self.cause_number[c.id] for c in base.causes.values() for rule in c.shifts}
        self.advice: Mapping[str, Advice] = {rule.rule: rule for c in base.causes.values() for rule in c.advice}
        self.tests: Mapping[str, EventTest | MeasureTest] = _tests(base)
        self.requests: tuple[MeasureRequest, ...] = _requests(base, self.tests.values())
        self.implied: Mapping[str, frozenset[str]] = _implied(base)
        self.implying: Mapping[str, frozenset[str]] = {
            sign: frozenset(special for special, general in self.implied.items() if sign in general)
            for sign in self.signs}
        self.implied_pairs = _pairs(self.implied, self.sign_number)
        self.asked_by: Mapping[str, str] = {sign: q.id for q in base.questions.values() for sign in q.signs}
        self.columns: Mapping[str, tuple[int, ...]] = {
            q.id: tuple(self.sign_number[sign] for sign in q.signs) for q in base.questions.values()}
        self.mostly_normal: frozenset[str] = _mostly_normal(base)
        self.evidence_chainer = Chainer(evidence_rules(base))
        self.advice_chainer = Chainer(_advice_rules(base))
        self.prior: Floats = np.array([cause.prior for cause in base.causes.values()])
        self.background: Floats = np.array([sign.background for sign in base.signs.values()])
        self.direct: Floats = self._direct()

    def _direct(self) -> Floats:
        """Frequencies of the links that need no context."""
        table = np.zeros((len(self.causes), len(self.signs)))
        for rule in self.shows.values():
            if not rule.when.tests:
                cell = self.cells[rule.rule]
                table[cell] = max(table[cell], rule.frequency)
        return table


def _context(rule: Shows) -> str:
    """The symbol that the context of a link holds."""
    return f"context={rule.rule}"


def _all_tests(base: KnowledgeBase) -> Iterable[Test]:
    yield from (condition.when for condition in base.conditions.values())
    for cause in base.causes.values():
        yield from (rule.when for rule in cause.rules)
    yield from (task.when for task in base.season)
    yield from (concern.when for concern in (base.outlook.concerns if base.outlook else ()))


def _tests(base: KnowledgeBase) -> dict[str, EventTest | MeasureTest]:
    found = {symbol_of(leaf): leaf for test in _all_tests(base) for leaf in leaf_tests(test)}
    return dict(sorted(found.items()))


def _requests(base: KnowledgeBase, tests: Iterable[EventTest | MeasureTest]) -> tuple[MeasureRequest, ...]:
    """The measures that some test asks for, and those of the day itself that some advice states."""
    found = {test.request for test in tests if isinstance(test, MeasureTest)}
    stated = {name for cause in base.causes.values() for rule in cause.advice for name in _STATED.findall(rule.text)}
    found |= {MeasureRequest(name, 0) for name in stated if name in base.measures and not base.measures[name].windowed}
    return tuple(sorted(found, key=lambda r: (r.measure, r.window_days, r.ended_days_ago, r.during)))


def _mostly_normal(base: KnowledgeBase) -> frozenset[str]:
    """Signs that some normal cause shows as often as any other cause does."""
    best: dict[tuple[str, bool], float] = {}
    for cause in base.causes.values():
        for rule in cause.shows:
            key = (rule.sign, cause.kind == "normal")
            best[key] = max(rule.frequency, best.get(key, 0.0))
    return frozenset(sign for sign, normal in best if normal and best[sign, True] >= best.get((sign, False), 0.0))


def _implied(base: KnowledgeBase) -> dict[str, frozenset[str]]:
    """For each sign, every more general sign it implies, through any number of steps."""
    def above(sign: str, seen: frozenset[str]) -> frozenset[str]:
        fresh = [parent for parent in base.signs[sign].implies if parent not in seen and parent in base.signs]
        return frozenset(fresh).union(*(above(parent, seen | {parent}) for parent in fresh))

    return {sign: above(sign, frozenset([sign])) for sign in base.signs}


def _pairs(implied: Mapping[str, frozenset[str]], number: Mapping[str, int]) -> tuple[Places, Places]:
    """Every implication as two rows of columns: the special signs, and beside them the general ones."""
    pairs = [(number[special], number[general]) for special, found in implied.items() for general in sorted(found)]
    special, general = np.array(pairs, dtype=np.intp).reshape(-1, 2).T
    return special, general


def evidence_rules(base: KnowledgeBase) -> list[EngineRule]:
    rules = [EngineRule(f"condition/{condition.id}", formula_of(condition.when), f"condition={condition.id}")
             for condition in base.conditions.values()]
    for cause in base.causes.values():
        for show in cause.shows:
            seen = Symbol(looked_at(show.sign))
            if show.when.tests:
                context = _context(show)
                rules.append(EngineRule(f"{show.rule}/context", formula_of(show.when, perhaps=True), context))
                rules.append(EngineRule(show.rule, And((seen, Symbol(context)))))
            else:
                rules.append(EngineRule(show.rule, seen))
        rules.extend(EngineRule(shift.rule, formula_of(shift.when)) for shift in cause.shifts)
    return rules


def _advice_rules(base: KnowledgeBase) -> list[EngineRule]:
    return [EngineRule(advice.rule, And((formula_of(Atom("suspected", (cause.id,))), formula_of(advice.when))))
            for cause in base.causes.values() for advice in cause.advice]
