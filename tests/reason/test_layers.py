"""Layers: a rule waits for everything that could derive what it reads."""

from __future__ import annotations

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnose.reason.formula import And, Not, Or, Symbol, symbols_of
from diagnose.reason.layers import EngineRule, layers_of
from tests.reason.reference import random_rules

A, B, C = (Symbol(name) for name in "abc")


def names(layers: tuple[tuple[EngineRule, ...], ...]) -> list[list[str]]:
    """The names of the rules, layer by layer."""
    return [[rule.name for rule in layer] for layer in layers]


def test_no_rules_have_no_layers() -> None:
    """An empty rule base is fine."""
    assert layers_of([]) == ()


def test_rules_on_facts_alone_share_a_layer_in_their_order() -> None:
    """Without derived symbols there is nothing to wait for."""
    rules = [EngineRule("z", A), EngineRule("a", Not(B)), EngineRule("m", And((A, C)))]
    assert names(layers_of(rules)) == [["z", "a", "m"]]


def test_a_reader_stands_one_layer_after_its_last_giver() -> None:
    """All ways of deriving a symbol come first, the deepest counts."""
    rules = [EngineRule("reads", Symbol("x")), EngineRule("gives late", Symbol("y"), "x"),
             EngineRule("gives early", A, "x"), EngineRule("first", B, "y")]
    assert names(layers_of(rules)) == [["gives early", "first"], ["gives late"], ["reads"]]


def test_negation_waits_as_well() -> None:
    """"Not derived" can only be said after the rules that could derive it."""
    rules = [EngineRule("lacks", Not(Symbol("x"))), EngineRule("gives", A, "x")]
    assert names(layers_of(rules)) == [["gives"], ["lacks"]]


def test_a_symbol_that_can_never_be_reached_orders_too() -> None:
    """What a formula mentions counts, even in a branch that contradicts itself."""
    rules = [EngineRule("reads", Or((A, And((Symbol("x"), Not(Symbol("x"))))))), EngineRule("gives", B, "x")]
    assert names(layers_of(rules)) == [["gives"], ["reads"]]


@pytest.mark.parametrize(("rules", "circle"), [
    ([EngineRule("self", Symbol("x"), "x")], "self -> self"),
    ([EngineRule("not self", Not(Symbol("x")), "x")], "not self -> not self"),
    ([EngineRule("b", Symbol("y"), "x"), EngineRule("c", Symbol("x"), "y"), EngineRule("free", A)],
     r"(b -> c -> b|c -> b -> c)"),
])
def test_circles_are_refused_with_the_names_of_their_rules(rules: list[EngineRule], circle: str) -> None:
    """The message shows the way round; rules outside the circle are not named."""
    with pytest.raises(ValueError, match=f"in a circle: {circle}$"):
        layers_of(rules)


@settings(max_examples=100, deadline=None)
@given(st.integers(0, 10**9))
def test_every_rule_is_placed_once_and_after_what_it_reads(seed: int) -> None:
    """On random rule bases: nothing lost, nothing doubled, order kept within layers, givers before readers."""
    rules = random_rules(seed, facts=5, derived=5, count=15)
    layers = layers_of(rules)
    layer_of = {rule.name: number for number, layer in enumerate(layers) for rule in layer}
    assert sorted(layer_of) == sorted(rule.name for rule in rules)
    assert sum(map(len, layers)) == len(rules)
    for layer in layers:
        assert layer
        assert [rules.index(rule) for rule in layer] == sorted(rules.index(rule) for rule in layer)
    for rule in rules:
        givers = [giver for giver in rules if giver.gives and giver.gives in symbols_of(rule.when)]
        assert all(layer_of[giver.name] < layer_of[rule.name] for giver in givers)
        assert layer_of[rule.name] == max((layer_of[giver.name] + 1 for giver in givers), default=0)


def test_order_of_definition_does_not_move_rules_between_layers() -> None:
    """Shuffled rules land in the same layers."""
    rules = random_rules(12, facts=5, derived=5, count=20)
    shuffled = random.Random(1).sample(rules, len(rules))
    assert [set(layer) for layer in layers_of(rules)] == [set(layer) for layer in layers_of(shuffled)]
