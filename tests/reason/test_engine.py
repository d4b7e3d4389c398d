"""What the chainer answers: firings, their order, what they matched and how certain they are."""

from __future__ import annotations

import itertools
import random

import pytest

from diagnose.reason.engine import Chainer, Firing
from diagnose.reason.formula import And, Formula, Not, Or, Symbol
from diagnose.reason.layers import EngineRule
from tests.reason.reference import Reference, as_table, random_case, random_rules

A, B, C, D = (Symbol(name) for name in "abcd")


def both(*parts: Formula) -> And:
    """All parts."""
    return And(parts)


def either(*parts: Formula) -> Or:
    """At least one part."""
    return Or(parts)


def fired(chainer: Chainer, *true: str) -> list[str]:
    """The rules that fire where these symbols are certain."""
    return [firing.rule for firing in chainer.run(dict.fromkeys(true, 1.0))]


def test_a_rule_fires_only_when_all_its_symbols_are_true() -> None:
    """A conjunction needs every part."""
    chainer = Chainer([EngineRule("pair", both(A, B))])
    assert fired(chainer, "a", "b", "c") == ["pair"]
    assert fired(chainer, "a") == fired(chainer, "b") == fired(chainer, "c") == []


def test_no_facts_is_a_case_too() -> None:
    """The empty case neither crashes nor fires what needs a fact; what needs none fires."""
    assert Chainer([EngineRule("pair", both(A, B))]).run({}) == ()
    always = Chainer([EngineRule("always", both()), EngineRule("never", either()), EngineRule("no a", Not(A))])
    assert fired(always) == ["always", "no a"]
    assert Chainer([]).run({"a": 1.0}) == ()


def test_facts_no_rule_asks_for_do_no_harm() -> None:
    """A case of unknown symbols alone is as good as empty."""
    chainer = Chainer([EngineRule("one", A)])
    assert fired(chainer, "x", "y") == []
    assert fired(chainer, "x", "a", "y") == ["one"]


def test_the_order_of_facts_does_not_matter() -> None:
    """All 24 orders of four facts give the same firings, matched symbols and order."""
    chainer = Chainer([EngineRule("all", both(A, B, C, D), "all"), EngineRule("not x", both(A, Not(Symbol("x")))),
                       EngineRule("after", Symbol("all"))])
    answers = {chainer.run(dict.fromkeys(order, 1.0)) for order in itertools.permutations("abcd")}
    assert len(answers) == 1
    assert [firing.rule for firing in answers.pop()] == ["all", "not x", "after"]


def test_firings_come_in_order_of_definition_within_a_layer() -> None:
    """Neither the alphabet nor the number of symbols decides the order."""
    rules = [EngineRule("z", both(A, B)), EngineRule("m", A), EngineRule("a", either(B, A)), EngineRule("k", B)]
    assert fired(Chainer(rules), "b", "a") == ["z", "m", "a", "k"]


def test_each_rule_fires_once_however_many_ways_it_matches() -> None:
    """Twelve true alternatives are one firing; the library's own "any" would fire 4,095 times."""
    chainer = Chainer([EngineRule("any", Or(tuple(Symbol(f"s{n}") for n in range(12))))])
    assert fired(chainer, *(f"s{n}" for n in range(12))) == ["any"]


def test_one_fact_serves_several_parts_of_a_rule() -> None:
    """A symbol that stands in two alternatives of one rule may satisfy both."""
    chainer = Chainer([EngineRule("shared", both(either(A, B), either(A, C)))])
    assert fired(chainer, "a") == ["shared"]
    assert fired(chainer, "b", "c") == ["shared"]
    assert fired(chainer, "b") == []


def test_derived_symbols_reach_later_rules_in_any_order_of_definition() -> None:
    """A chain of fifty rules runs through, forwards, backwards and shuffled."""
    rules = [EngineRule(f"step {n}", Symbol(f"s{n}"), f"s{n + 1}") for n in range(50)]
    shuffled = random.Random(3).sample(rules, len(rules))
    for order in (rules, rules[::-1], shuffled):
        chainer = Chainer(order)
        assert fired(chainer, "s0") == [f"step {n}" for n in range(50)]
        assert fired(chainer, "s40") == [f"step {n}" for n in range(40, 50)]


def test_negation_waits_for_everything_that_could_derive_the_symbol() -> None:
    """"Not derived" is decided after every rule that might derive it, however deep."""
    rules = [EngineRule("calm", both(A, Not(Symbol("alarm"))), "calm"), EngineRule("late", Symbol("mid"), "alarm"),
             EngineRule("early", B, "mid"), EngineRule("uneasy", both(A, Not(Symbol("calm"))))]
    chainer = Chainer(rules)
    assert fired(chainer, "a") == ["calm"]
    assert fired(chainer, "a", "b") == ["early", "late", "uneasy"]


def test_a_symbol_may_be_given_and_derived() -> None:
    """A derived symbol that is stated as a fact counts, whether or not its rules fire."""
    chainer = Chainer([EngineRule("gives", A, "b"), EngineRule("reads", B), EngineRule("lacks", Not(B))])
    assert fired(chainer, "b") == ["reads"]
    assert fired(chainer) == ["lacks"]


def test_a_firing_keeps_its_rule_what_it_matched_and_what_it_gives() -> None:
    """Negated symbols carry the absence mark, so that a firing explains itself."""
    chainer = Chainer([EngineRule("rule/1", both(A, Not(B)), "c")])
    assert chainer.run({"a": 0.7}) == (Firing("rule/1", ("a", "~b"), "c", 0.7),)


def test_a_firing_is_as_certain_as_the_least_certain_of_its_symbols() -> None:
    """All parts are needed, so the weakest decides; what is negated is certain."""
    chainer = Chainer([EngineRule("pair", both(A, B)), EngineRule("without", both(A, Not(C)))])
    assert as_table(chainer.run({"a": 0.9, "b": 0.4})) == {"pair": 0.4, "without": 0.9}


def test_of_several_ways_to_match_the_surest_is_kept() -> None:
    """The firing names the surest alternative; of equally sure ones, the first in the order of symbols."""
    chainer = Chainer([EngineRule("either", either(A, both(B, C)))])
    assert chainer.run({"a": 0.3, "b": 0.8, "c": 0.6}) == (Firing("either", ("b", "c"), "", 0.6),)
    assert chainer.run({"a": 0.6, "b": 0.6, "c": 0.6}) == (Firing("either", ("a",), "", 0.6),)


def test_certainty_travels_along_chains() -> None:
    """A derived symbol is as sure as the surest rule that gives it, or as the fact that states it."""
    chainer = Chainer([EngineRule("weak", A, "d"), EngineRule("strong", B, "d"), EngineRule("uses", both(C, D))])
    assert as_table(chainer.run({"a": 0.3, "b": 0.5, "c": 0.9}))["uses"] == 0.5
    assert as_table(chainer.run({"a": 0.3, "c": 0.9}))["uses"] == 0.3
    assert as_table(chainer.run({"a": 0.3, "c": 0.9, "d": 0.8}))["uses"] == 0.8


def test_what_is_barely_certain_is_still_true() -> None:
    """Negation asks whether a symbol is true at all, not how sure it is."""
    chainer = Chainer([EngineRule("none", Not(A)), EngineRule("some", A)])
    assert as_table(chainer.run({"a": 1e-5})) == {"some": 1e-5}


def test_doubled_names_are_refused() -> None:
    """Two rules of one name could not be told apart in an explanation."""
    with pytest.raises(ValueError, match="used twice: twin"):
        Chainer([EngineRule("twin", A), EngineRule("twin", B), EngineRule("single", C)])


def test_circles_are_refused_by_name() -> None:
    """Rules that wait for each other are named; there is no order to try them in."""
    with pytest.raises(ValueError, match=r"circle: .*hen.*egg|circle: .*egg.*hen"):
        Chainer([EngineRule("hen", Symbol("egg"), "hen"), EngineRule("egg", Symbol("hen"), "egg")])


def test_chainers_do_not_disturb_each_other() -> None:
    """Two rule bases over the same symbol names, used by turns, keep their answers."""
    first, second = Chainer([EngineRule("first", both(A, B))]), Chainer([EngineRule("second", both(A, Not(B)))])
    for _ in range(20):
        assert fired(first, "a", "b") == ["first"]
        assert fired(second, "a", "b") == []
        assert fired(second, "a") == ["second"]
        assert fired(first, "a") == []


def test_symbol_names_are_free() -> None:
    """Names that mean something to the library, to JSON or to hashing are names like any other."""
    names = ["id", "sid", "$and", "$not", "a\"b", "{", "\\", "1e-05", "inf", "null", "ü=é:present", "", " ", "g", "p"]
    chainer = Chainer([EngineRule(f"rule {n}", both(Symbol(name), A)) for n, name in enumerate(names)])
    for number, name in enumerate(names):
        assert fired(chainer, name, "a") == [f"rule {number}"]
    assert len(fired(chainer, "a", *names)) == len(names)


def test_thousands_of_cases_in_any_order_give_the_same_answers() -> None:
    """One session serves 2,000 cases; forwards, shuffled and by plain reading they come to the same."""
    rules = random_rules(seed=5, facts=20, derived=8, count=80)
    draw = random.Random(11)
    cases = [random_case(draw, 20) for _ in range(2000)]
    chainer = Chainer(rules)
    answers = [chainer.run(true) for true in cases]
    order = draw.sample(range(len(cases)), len(cases))
    assert all(chainer.run(cases[n]) == answers[n] for n in order)
    for number in order[:300]:
        assert as_table(answers[number]) == Reference(rules, cases[number]).fired()
