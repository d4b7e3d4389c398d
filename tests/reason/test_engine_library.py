"""The wall round the rule library: its limits, its crashes and its memory. The limits were measured on durable-rules
2.0.28: 255 rules on one condition, 16 joined facts, 4,096 rules, a crash on an empty batch, numbers it cannot read."""

from __future__ import annotations

import gc
import json
import pickle
import random
import threading
import tracemalloc
from collections.abc import Sequence

import pytest

from diagnose.reason import engine
from diagnose.reason.engine import Chainer, EngineFault
from diagnose.reason.formula import And, Not, Or, Symbol
from diagnose.reason.layers import EngineRule
from tests.reason.reference import Reference, as_table, random_case, random_rules
from tests.reason.watched import Watched

A, X, Y = Symbol("a"), Symbol("x"), Symbol("y")


@pytest.fixture
def watched(monkeypatch: pytest.MonkeyPatch) -> Watched:
    """The library, watched by the test."""
    library = Watched()
    monkeypatch.setattr(engine, "_load_library", lambda: library)
    return library


def fired(chainer: Chainer, *true: str) -> list[str]:
    """The rules that fire where these symbols are certain."""
    return [firing.rule for firing in chainer.run(dict.fromkeys(true, 1.0))]


def fan(count: int) -> list[EngineRule]:
    """Rules that all share the symbol x, each with a symbol of its own."""
    return [EngineRule(f"fan {n}", And((X, Symbol(f"s{n}")))) for n in range(count)]


def test_many_rules_on_one_symbol_do_not_fire_a_stranger() -> None:
    """256 rules on one condition would fire an unrelated rule in the library; here 700 share one."""
    chainer = Chainer([EngineRule("stranger", And((Y, Symbol("z")))), *fan(700), EngineRule("also", And((Y, X)))])
    assert fired(chainer, "x") == []
    assert fired(chainer, "x", "s5", "s699") == ["fan 5", "fan 699"]
    assert len(fired(chainer, "x", *(f"s{n}" for n in range(700)))) == 700
    assert fired(chainer, "y", "z") == ["stranger"]


@pytest.mark.parametrize("count", [239, 240, 241, 255, 256, 257, 480, 481])
def test_rules_of_one_and_the_same_condition_all_fire(count: int) -> None:
    """At every edge of the limit, equal rules fire in their order, and rules on another symbol do not."""
    same = [EngineRule(f"same {n}", X) for n in range(count)]
    chainer = Chainer([EngineRule("before", Y), *same, EngineRule("after", Y)])
    assert fired(chainer, "x") == [f"same {n}" for n in range(count)]
    assert fired(chainer, "y") == ["before", "after"]


def test_symbols_of_one_bucket_do_not_run_into_the_limit_together() -> None:
    """Ten symbols that share the first of the two tests of a symbol, each used 240 times: all fire, none else."""
    hubs = [f"n{64 * n:04d}" for n in range(10)]
    rules = [EngineRule(f"{hub} {n}", And((Symbol(hub), Symbol(f"n{64 * (n % 10) + n // 10 + 1:04d}"))))
             for hub in hubs for n in range(240)]
    rules += [EngineRule(f"filler {n}", And((Symbol(f"n{n:04d}"), Symbol("n9999")))) for n in range(640)]
    chainer = Chainer(rules)
    assert fired(chainer, hubs[3]) == []
    assert fired(chainer, hubs[3], "n0001") == [f"{hubs[3]} 0"]
    assert len(fired(chainer, *(f"n{n:04d}" for n in range(640)))) == 2400


def test_more_true_symbols_than_one_level_of_the_library_takes() -> None:
    """3,000 true symbols at once, where 65 true tests on one fact would stop the library."""
    rules = [EngineRule(f"rule {n}", Or((Symbol(f"s{n}"), And((Symbol(f"t{n}"), X))))) for n in range(1500)]
    everything = [*(f"s{n}" for n in range(1500)), *(f"t{n}" for n in range(1500))]
    assert len(fired(Chainer(rules), *everything)) == 1500


def test_rules_beyond_a_ruleset_go_into_further_ones(monkeypatch: pytest.MonkeyPatch, watched: Watched) -> None:
    """Above the limit of rules a second ruleset opens (the limit lowered from 4,000 to 50 here)."""
    monkeypatch.setattr(engine, "MOST_RULES", 50)
    chainer = Chainer([EngineRule(f"rule {n}", And((Symbol(f"s{n % 40}"), Symbol(f"t{n}")))) for n in range(220)])
    assert fired(chainer, "s3", "t3", "t43", "t44") == ["rule 3", "rule 43"]
    assert len(fired(chainer, *(f"s{n}" for n in range(40)), *(f"t{n}" for n in range(220)))) == 220
    assert len(watched.rulesets) == 10  # each of the five twice: of a few rules, then of all


def test_the_first_case_makes_the_rules_it_could_fire_and_the_next_all(watched: Watched) -> None:
    """Rules enter the library when a case states their rarest symbol; what fires is the same as with all of them."""
    rules = [EngineRule(f"{place} {n}", And((Symbol(place), Symbol(f"s{n}")))) for place in "uvw" for n in (0, 1, 2, 3)]
    chainer = Chainer(rules)
    assert (fired(chainer, "u", "w"), watched.rulesets) == ([], [])
    assert fired(chainer, "s0", "w") == ["w 0"]
    assert (fired(chainer, "w"), fired(chainer, "s0")) == ([], [])
    assert [len(json.loads(text)) - 2 for text in watched.rulesets] == [3]
    assert fired(chainer, "s1", "u", "w") == ["u 1", "w 1"]
    assert fired(chainer, "s3", "v") == ["v 3"]
    assert [len(json.loads(text)) - 2 for text in watched.rulesets] == [3, 12]


def test_rules_of_one_conjunction_are_one_rule_to_the_library(watched: Watched) -> None:
    """Each of them fires, in its place among the others."""
    rules = [EngineRule("one", And((A, X))), EngineRule("other", X), EngineRule("same", And((X, A)), "y")]
    assert fired(Chainer(rules), "a", "x") == ["one", "other", "same"]
    assert [len(json.loads(text)) - 2 for text in watched.rulesets] == [2]


def test_fifteen_symbols_join_and_sixteen_are_refused() -> None:
    """The library would fail on 17 joined facts only when they come; too long a rule is refused at once."""
    names = [f"s{n}" for n in range(15)]
    chainer = Chainer([EngineRule("fifteen", And(tuple(Symbol(name) for name in names)))])
    assert fired(chainer, *names) == ["fifteen"]
    assert fired(chainer, *names[1:]) == []
    with pytest.raises(ValueError, match="rule sixteen joins more than 15 symbols"):
        Chainer([EngineRule("sixteen", And(tuple(Symbol(f"s{n}") for n in range(16))))])


def test_ids_that_the_library_would_confuse_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """Fact ids of one hash are one fact to the library; with a hash of one value two symbols already collide."""
    monkeypatch.setattr(engine, "_fnv32", lambda text: 7)
    assert fired(Chainer([EngineRule("one", A)]), "a") == ["one"]
    with pytest.raises(ValueError, match="share a hash"):
        Chainer([EngineRule("two", And((A, X)))]).run({"a": 1.0, "x": 1.0})


@pytest.mark.parametrize(("text", "value"), [("", 0x811C9DC5), ("a", 0xE40C292C), ("foobar", 0xBF9CF968)])
def test_the_hash_is_the_published_one(text: str, value: int) -> None:
    """FNV-1a of 32 bits: Fowler, Noll, Vo, Eastlake, "The FNV Non-Cryptographic Hash Algorithm", test vectors."""
    assert engine._fnv32(text) == value


def test_only_symbols_reach_the_library(watched: Watched) -> None:
    """No certainty, no exponent, no empty batch and no negation of its own is ever handed over."""
    rules = random_rules(seed=2, facts=12, derived=4, count=30)
    chainer = Chainer(rules)
    draw = random.Random(4)
    for value in (1e-05, 1e-300, 5e-324, 0.3333333333333333, 1.0):
        for _ in range(20):
            chainer.run(dict.fromkeys(random_case(draw, 12), value))
    chainer.run({})
    handed_over = "".join(watched.batches)
    assert watched.batches
    assert "[]" not in watched.batches
    assert not set(handed_over) - set('[]{}":, gpidsf0123456789open')
    forbidden = ('"none"', '"not"', "$not", "$nex", "$gt", "any")
    assert not any(word in text for text in watched.rulesets for word in forbidden)


def test_a_batch_is_sorted_and_taken_back_whole(watched: Watched) -> None:
    """What goes in comes out again, and the order of facts in a case leaves no trace."""
    names = [f"s{n}" for n in range(12)]
    chainer = Chainer([EngineRule(name, Symbol(name)) for name in names])
    chainer.run({"s0": 1.0})
    chainer.run({"s1": 1.0})
    del watched.batches[:]
    for seed in range(6):
        chainer.run(dict.fromkeys(random.Random(seed).sample(names, len(names)), 1.0))
    assert len(watched.batches) == 12
    assert len(set(watched.batches)) == 1
    assert [fact["p"] for fact in json.loads(watched.batches[0])] == list(range(12))


@pytest.mark.parametrize("fault", [RuntimeError("error code: 204"), (2, 0)])
@pytest.mark.parametrize("call", ["assert_facts", "retract_facts", "start_action_for_state"])
def test_a_fault_is_said_and_the_next_case_is_right(
        watched: Watched, call: str, fault: BaseException | tuple[int, int]) -> None:
    """An error in the library ends that case with EngineFault; the ruleset is rebuilt and answers go on."""
    if isinstance(fault, tuple) and call != "assert_facts":
        fault = MemoryError("out of memory")
    rules = random_rules(seed=9, facts=10, derived=3, count=30)
    chainer = Chainer(rules)
    draw = random.Random(1)
    for _ in range(25):
        true = {**random_case(draw, 10), "s1": 1.0}
        chainer.run(true)
        watched.faults[call] = fault
        with pytest.raises(EngineFault, match="the rule library failed"):
            chainer.run(true)
        assert not watched.faults
        other = random_case(draw, 10)
        assert as_table(chainer.run(other)) == Reference(rules, other).fired()
        assert as_table(chainer.run(true)) == Reference(rules, true).fired()


def test_a_fact_left_over_in_a_session_is_noticed(watched: Watched) -> None:
    """A real refusal of the library: a fact it already holds. The case fails, the next one does not."""
    chainer = Chainer([EngineRule("pair", And((A, X))), EngineRule("other", Y)])
    assert fired(chainer, "a", "x") == ["pair"]  # the ruleset is made by the first case that could fire
    assert fired(chainer, "a") == []
    watched.library.assert_facts(watched.handles[-1], watched.batches[-1])
    with pytest.raises(EngineFault, match="code 2"):
        chainer.run({"a": 1.0})
    assert fired(chainer, "x") == []
    assert fired(chainer, "a", "x") == ["pair"]


def test_an_interrupt_leaves_nothing_behind(watched: Watched) -> None:
    """Interrupted between assert and retract, the facts of that case do not join those of the next."""
    chainer = Chainer([EngineRule("pair", And((A, X))), EngineRule("other", Y)])
    assert fired(chainer, "a", "x") == ["pair"]
    assert fired(chainer, "a") == []
    watched.faults["start_action_for_state"] = KeyboardInterrupt()
    with pytest.raises(KeyboardInterrupt):
        chainer.run({"a": 1.0})
    assert fired(chainer, "x") == []
    assert fired(chainer, "a", "x") == ["pair"]


def test_no_threads_are_started() -> None:
    """The stock host of the library runs threads of its own; they are not used."""
    before = threading.active_count()
    chainer = Chainer(fan(300))
    chainer.run({"x": 1.0, "s1": 1.0})
    assert threading.active_count() == before


def test_threads_with_a_chainer_each_do_not_disturb_each_other() -> None:
    """Four threads, each with its own compiled rules, come to the answers of the plain reading."""
    wrong: list[int] = []

    def work(seed: int) -> None:
        rules = random_rules(seed, facts=10, derived=3, count=25)
        chainer, draw = Chainer(rules), random.Random(seed)
        cases = [random_case(draw, 10) for _ in range(150)]
        wrong.extend(seed for true in cases if as_table(chainer.run(true)) != Reference(rules, true).fired())

    threads = [threading.Thread(target=work, args=(seed,)) for seed in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert wrong == []


def _traced_growth(chainer: Chainer, cases: Sequence[dict[str, float]]) -> int:
    """Bytes that Python holds more after running the cases than before."""
    gc.collect()
    tracemalloc.start()
    try:
        before = tracemalloc.get_traced_memory()[0]
        for true in cases:
            chainer.run(true)
        gc.collect()
        return tracemalloc.get_traced_memory()[0] - before
    finally:
        tracemalloc.stop()


def test_cases_leave_no_python_memory_behind() -> None:
    """Eight hundred further cases leave less than 20 kB."""
    chainer = Chainer([*random_rules(seed=6, facts=15, derived=4, count=60), EngineRule("no x", Not(X))])
    draw = random.Random(8)
    cases = [random_case(draw, 15) for _ in range(800)]
    for true in cases[:200]:
        chainer.run(true)
    assert _traced_growth(chainer, cases) < 20_000


def test_a_copy_of_used_rules_makes_a_ruleset_of_its_own() -> None:
    """Compiled rules can be kept for another process; what the library holds of them stays where it is."""
    chainer = Chainer(fan(3))
    assert fired(chainer, "x", "s1") == ["fan 1"]
    copy = pickle.loads(pickle.dumps(chainer))
    assert fired(copy, "x", "s0", "s2") == ["fan 0", "fan 2"]
    assert fired(chainer, "x", "s1") == ["fan 1"]
