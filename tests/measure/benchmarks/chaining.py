"""Forward chaining alone: the project's chainer beside others, on the rules and facts it really meets."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from functools import partial
from importlib import import_module
from pathlib import Path

from diagnose.reason.engine import Chainer
from diagnose.reason.layers import EngineRule
from diagnose.reason.rulebook import evidence_rules
from tests.measure.benchmarks.material import Facts, bench, letter_facts, mixed_facts
from tests.measure.benchmarks.table import Row
from tests.measure.benchmarks.timing import Cost, by_turns, here
from tests.reason.reference import Reference, as_table

__all__ = ["PEERS", "check", "peer", "rows"]

Runner = Callable[[Collection[str]], set[str]]
PEERS = {"the least loop over durable-rules": "peer_durable.SymbolsOnly", "CLIPS (clipspy)": "peer_clips.InClips",
         "zen-engine": "peer_zen.InZen"}


def peer(title: str, rules: Sequence[EngineRule]) -> Runner:
    """One of the others with the rules compiled. Raises ImportError where its library is not installed."""
    module, name = PEERS[title].split(".")
    run: Runner = getattr(import_module(f"tests.measure.benchmarks.{module}"), name)(rules).run
    return run


def check(rules: Sequence[EngineRule], cases: Sequence[Facts], chainer: Chainer, others: Mapping[str, Runner]) -> None:
    """Hold every answer against the plain reading. Raises AssertionError naming who differs."""
    for true in cases:
        expected = Reference(rules, true).fired()
        assert as_table(chainer.run(true)) == expected, "the chainer differs from the plain reading"
        for title, run in others.items():
            assert run(true) == expected.keys(), f"{title} differs from the plain reading"


def rows(quick: bool, place: Path) -> Iterator[Row]:
    """A row for each of the others, and one that says why where it is missing."""
    rules, chainer = evidence_rules(bench().base), bench().rulebook.evidence_chainer
    cases = [*letter_facts(), *mixed_facts(letter_facts(), 75)]
    others: dict[str, Runner] = {}
    missing: dict[str, str] = {}
    for title in PEERS:
        try:
            others[title] = peer(title, rules)
        except ImportError as error:
            missing[title] = f"left out: {error}"
    check(rules, cases[::5] if quick else cases, chainer, others)
    works: dict[str, Callable[[], Cost]] = {"": partial(here, lambda: [chainer.run(true) for true in cases])}
    works |= {title: partial(here, partial(_run_all, run, cases)) for title, run in others.items()}
    costs = {title: cost.each(len(cases)) for title, cost in by_turns(works, 5 if quick else 15).items()}
    for title in PEERS:
        remark = missing.get(title, "answers equal" + ("; aim: at most 1.3" if "least" in title else ""))
        yield Row("chaining", f"a case, {len(rules):,} rules", costs[""], title, costs.get(title), remark)


def _run_all(run: Runner, cases: Sequence[Facts]) -> None:
    for true in cases:
        run(true)
