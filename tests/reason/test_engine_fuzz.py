"""The chainer against a plain reading of the same rules, on random rule bases and cases."""

from __future__ import annotations

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from diagnose.reason.engine import Chainer
from diagnose.reason.formula import And, Formula, Not, Or, Symbol, conjunctions
from diagnose.reason.layers import EngineRule
from tests.reason.reference import Reference, as_table, check_matched

FACTS = [f"s{n}" for n in range(8)]
DERIVED = [f"d{n}" for n in range(4)]
CERTAINTIES = st.sampled_from([1.0, 0.9, 0.5, 0.123456789, 1e-5, 5e-324])


def formulas(names: list[str]) -> st.SearchStrategy[Formula]:
    """Any formula over the names, a few levels deep."""
    symbols = st.sampled_from(names).map(Symbol)
    return st.recursive(symbols, lambda inner: st.one_of(
        inner.map(Not), st.lists(inner, max_size=3).map(lambda parts: And(tuple(parts))),
        st.lists(inner, max_size=3).map(lambda parts: Or(tuple(parts)))), max_leaves=8)


@st.composite
def rule_bases(draw: st.DrawFn) -> list[EngineRule]:
    """Rules in any order without circles: derived symbol n rests on facts and on derived symbols before it."""
    rules = []
    for number in range(draw(st.integers(1, 10))):
        level = draw(st.integers(0, len(DERIVED)))
        formula = draw(formulas(FACTS + DERIVED[:level]))
        gives = DERIVED[level] if level < len(DERIVED) and draw(st.booleans()) else ""
        rules.append(EngineRule(f"rule {number}", formula, gives))
    return draw(st.permutations(rules))


CASES = st.dictionaries(st.sampled_from(FACTS + DERIVED[:1] + ["stranger"]), CERTAINTIES)


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(rule_bases(), st.lists(CASES, min_size=1, max_size=6))
def test_the_chainer_agrees_with_the_plain_reading(rules: list[EngineRule], cases: list[dict[str, float]]) -> None:
    """Same rules fire, once each, with the same certainty; derived symbols and matches are right too."""
    chainer = Chainer(rules)
    by_name = {rule.name: rule for rule in rules}
    for true in cases:
        reference = Reference(rules, true)
        firings = chainer.run(true)
        assert len(firings) == len({firing.rule for firing in firings})
        assert as_table(firings) == reference.fired()
        known = reference.true_symbols()
        assert {firing.gives for firing in firings if firing.gives} | set(true) == known
        for firing in firings:
            assert firing.gives == by_name[firing.rule].gives
            check_matched(by_name[firing.rule], firing, known)


@settings(max_examples=60, deadline=None)
@given(rule_bases(), CASES, st.randoms(use_true_random=False))
def test_neither_order_of_rules_nor_of_facts_changes_what_fires(
        rules: list[EngineRule], true: dict[str, float], draw: object) -> None:
    """Shuffled rules and shuffled facts come to the same firings."""
    shuffle = draw.shuffle  # type: ignore[attr-defined]
    others, names = list(rules), list(true)
    shuffle(others)
    shuffle(names)
    again = Chainer(others).run({name: true[name] for name in names})
    assert sorted(again, key=lambda f: f.rule) == sorted(Chainer(rules).run(true), key=lambda f: f.rule)


@settings(max_examples=150, deadline=None)
@given(formulas(FACTS), st.sets(st.sampled_from(FACTS)))
def test_the_normal_form_means_the_same(formula: Formula, true: set[str]) -> None:
    """The formula is true exactly where one of its conjunctions is."""
    stated = true | {f"~{name}" for name in FACTS if name not in true}
    reference = Reference([], dict.fromkeys(true, 1.0))
    assert any(symbols <= stated for symbols in conjunctions(formula)) == bool(reference.formula(formula))
