"""What the benchmarks hold beside each other comes to the same answers; otherwise their times would say nothing."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from diagnose.reason.engine import Chainer
from diagnose.reason.layers import EngineRule
from diagnose.reason.rulebook import Rulebook, evidence_rules
from diagnose.reason.standing import stand
from tests.measure.benchmarks import belief, chaining
from tests.measure.benchmarks.growth import grown
from tests.measure.benchmarks.material import letter_facts, letter_of, mixed_facts
from tests.measure.benchmarks.table import HEADER, Row, markdown
from tests.measure.benchmarks.timing import Cost, by_turns, child, here, python
from tests.own import own_base
from tests.reason.reference import random_case, random_rules
from tests.small import case, small_base


def _one(title: str, rules: list[EngineRule]) -> chaining.Runner:
    try:
        return chaining.peer(title, rules)
    except ImportError as error:
        pytest.skip(str(error))


@pytest.mark.parametrize("title", chaining.PEERS)
def test_chaining_agrees_on_the_rule_base(title: str) -> None:
    """Facts of letters and facts mixed from them fire the same rules as the plain reading says."""
    rules = evidence_rules(own_base())
    facts = letter_facts()
    chaining.check(rules, [*facts[:3], *mixed_facts(facts, 3), {}], Chainer(rules), {title: _one(title, rules)})


@pytest.mark.parametrize("title", chaining.PEERS)
def test_chaining_agrees_on_random_rules(title: str) -> None:
    """Rules with every kind of negation, and with none at all to ask for."""
    for seed in range(5):
        rules, draw = random_rules(seed, 10, 4, 40), random.Random(seed)
        chaining.check(rules, [random_case(draw, 10) for _ in range(20)], Chainer(rules), {title: _one(title, rules)})


def test_a_wrong_answer_stops_the_chaining_benchmark() -> None:
    """One that leaves a firing out is named."""
    rules = random_rules(1, 5, 2, 10)
    with pytest.raises(AssertionError, match="the idle one differs"):
        chaining.check(rules, [{"s0": 1.0, "s1": 1.0, "s2": 1.0}], Chainer(rules), {"the idle one": lambda _: set()})


def test_belief_agrees() -> None:
    """The networks of letters, and such with four present signs, to 1e-9."""
    pytest.importorskip("pyagrum")
    told = belief.from_letters()
    posed = [*told[:5], *belief.drawn(told, 4, 3)]
    assert all(len(one.relevant()) for one in posed)
    belief.check(posed, [belief.peer(one) for one in posed])
    with pytest.raises(AssertionError, match="differ"):
        belief.check(posed[:1], [lambda: [0.5] * len(posed[0].relevant())])


def test_a_grown_rule_base_believes_of_the_old_causes_what_it_did() -> None:
    """The copies are rules of their own, about signs of their own."""
    small, larger = Rulebook(small_base()), Rulebook(grown(small_base(), 3))
    signs = list(small_base().signs)[:2]
    assert (len(larger.causes), len(larger.signs)) == (3 * len(small.causes), 3 * len(small.signs))
    assert len(larger.shifts) == 3 * len(small.shifts)
    old, new = (stand(book, case(signs)).probability for book in (small, larger))
    assert new[:len(old)] == pytest.approx(old)
    assert not new[len(old):].any()


def test_costs_are_taken_and_shown(tmp_path: Path) -> None:
    """Sides take turns, the median counts, a process is charged its own time; the row has all cells."""
    order: list[str] = []
    costs = iter([Cost(3.0, 1.0), Cost(1.0, 9.0), Cost(2.0, 5.0)])

    def given() -> Cost:
        order.append("a")
        return next(costs)

    found = by_turns({"a": given, "b": lambda: here(lambda: order.append("b"))}, 3)
    assert (order, found["a"]) == (["a", "b"] * 3, Cost(2.0, 5.0))
    cost = child(python("sum(range(10**6)); print('told')"), tmp_path, tmp_path / "told")
    assert cost.cpu_s > 0.005
    assert (tmp_path / "told").read_text() == "told\n"
    line = markdown(Row("n", "w", Cost(0.0012, 1234.0), "b", Cost(0.0006, 2.0), "r"))
    assert line == "| n | w | 1.2 ms | 1234 s | b | 600 µs | 2 s | 2.00 | r |"
    assert all(line.count("|") == row.count("|") for row in HEADER.splitlines())


def test_letters_of_any_length() -> None:
    """As long as asked for, and of the letters' own words."""
    assert len(letter_of(1)) == 1000
    assert len(letter_of(100)) == 100_000
