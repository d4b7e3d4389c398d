"""Formulas and their minimal normal form."""

from __future__ import annotations

import itertools
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnose.reason import formula as formulas
from diagnose.reason.formula import And, Formula, Not, Or, Symbol, absent, conjunctions, holds, symbols_of
from tests.reason.reference import random_formula

A, B, C, D = (Symbol(name) for name in "abcd")


def normal(formula: Formula) -> list[set[str]]:
    """The conjunctions as plain sets."""
    return [set(symbols) for symbols in conjunctions(formula)]


def test_what_is_not_stated_is_not_true() -> None:
    """Unknown counts as not true, so its negation holds."""
    assert holds(A, {"a"})
    assert not holds(A, {"b"})
    assert holds(Not(A), {"b"})
    assert not holds(Not(A), {"a"})


def test_empty_and_is_true_and_empty_or_is_false() -> None:
    """Nothing asked is fulfilled; no alternative is no way."""
    assert holds(And(()), set())
    assert not holds(Or(()), {"a"})
    assert normal(And(())) == [set()]
    assert normal(Or(())) == []
    assert normal(Not(Or(()))) == [set()]
    assert normal(Not(And(()))) == []


def test_absence_is_its_own_opposite() -> None:
    """Marking a symbol absent twice gives the symbol back."""
    assert absent("a") == "~a"
    assert absent(absent("a")) == "a"


def test_symbols_are_found_however_deep_and_negated() -> None:
    """Layers rest on every symbol that is mentioned."""
    assert symbols_of(And((A, Not(Or((B, Not(C))))))) == {"a", "b", "c"}
    assert symbols_of(Or(())) == set()


def test_and_over_or_is_multiplied_out() -> None:
    """(a or b) and (c or d) has four conjunctions."""
    assert normal(And((Or((A, B)), Or((C, D))))) == [{"a", "c"}, {"a", "d"}, {"b", "c"}, {"b", "d"}]


def test_negation_moves_inwards() -> None:
    """De Morgan's laws, and a double negation that vanishes."""
    assert normal(Not(And((A, B)))) == [{"~a"}, {"~b"}]
    assert normal(Not(Or((A, B)))) == [{"~a", "~b"}]
    assert normal(Not(Not(A))) == [{"a"}]


def test_wider_conjunctions_are_absorbed() -> None:
    """a or (a and b) is a."""
    assert normal(Or((And((A, B)), A, And((A, C, D))))) == [{"a"}]
    assert normal(And((Or((A, B)), Or((A, C))))) == [{"a"}, {"b", "c"}]


def test_contradictions_drop_out() -> None:
    """A symbol cannot be there and absent at once."""
    assert normal(And((A, Not(A)))) == []
    assert normal(And((Or((A, B)), Not(A)))) == [{"b", "~a"}]


def test_the_order_is_stable() -> None:
    """Short conjunctions first, then by the alphabet, whatever order the parts were written in."""
    parts: list[Formula] = [And((D, C)), B, And((A, C, D)), Not(A)]
    forms = {conjunctions(Or(order)) for order in itertools.permutations(parts)}
    assert forms == {(frozenset({"b"}), frozenset({"~a"}), frozenset({"c", "d"}))}


def test_formulas_that_explode_are_refused() -> None:
    """More than 512 conjunctions are too many, whether they are multiplied out or written one by one."""
    pairs = tuple(Or((Symbol(f"a{n}"), Symbol(f"b{n}"))) for n in range(10))
    assert len(conjunctions(And(pairs[:9]))) == 512
    with pytest.raises(ValueError, match="more than 512"):
        conjunctions(And(pairs))
    many = tuple(Symbol(f"s{n:03d}") for n in range(513))
    assert len(conjunctions(Or(many[:512]))) == 512
    with pytest.raises(ValueError, match="more than 512"):
        conjunctions(Or(many))


def test_absorption_keeps_long_formulas_within_bounds() -> None:
    """Twenty parts that share a symbol come to a handful, though they would multiply out to a million."""
    formula = And(tuple(Or((A, Symbol(f"s{n}"))) for n in range(20)))
    assert normal(formula) == [{"a"}, {f"s{n}" for n in range(20)}]


@settings(max_examples=300, deadline=None)
@given(st.integers(0, 10**9))
def test_normal_form_has_the_same_truth_table_and_is_minimal(seed: int) -> None:
    """Over all 16 cases of four symbols, formula and normal form agree; no conjunction contains another."""
    formula = random_formula(random.Random(seed), "abcd", depth=4)
    form = conjunctions(formula)
    for count in range(5):
        for true in itertools.combinations("abcd", count):
            stated = {*true, *(absent(name) for name in "abcd" if name not in true)}
            assert holds(formula, true) == any(symbols <= stated for symbols in form)
    assert not any(one < other for one, other in itertools.permutations(form, 2))
    assert len(set(form)) == len(form)


def test_public_names_are_all_there() -> None:
    """What the module offers exists."""
    assert all(hasattr(formulas, name) for name in formulas.__all__)
