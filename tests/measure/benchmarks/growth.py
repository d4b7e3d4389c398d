"""A rule base made larger by copies of its causes and signs under other ids, and what that costs."""

from __future__ import annotations

import pickle
from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from pathlib import Path

from diagnose.knowledge.store import uncollected
from diagnose.model.knowledge import AllOf, AnyOf, Atom, Cause, KnowledgeBase, Sign, Test
from diagnose.reason.rulebook import evidence_rules
from diagnose.reason.standing import stand
from diagnose.workbench import Workbench
from tests.measure.benchmarks.material import bench, cases, letter_facts
from tests.measure.benchmarks.table import Row
from tests.measure.benchmarks.timing import Cost, by_turns, here

__all__ = ["grown", "rows"]


def grown(base: KnowledgeBase, times: int) -> KnowledgeBase:
    """The rule base with every cause and every sign so many times, the copies under ids of their own."""
    causes, signs = dict(base.causes), dict(base.signs)
    for number in range(1, times):
        causes |= {copy.id: copy for copy in (_cause(base, cause, f"_{number}") for cause in base.causes.values())}
        signs |= {copy.id: copy for copy in (_sign(sign, f"_{number}") for sign in base.signs.values())}
    return replace(base, causes=causes, signs=signs)


def _sign(sign: Sign, mark: str) -> Sign:
    return replace(sign, id=sign.id + mark, implies=tuple(other + mark for other in sign.implies))


def _cause(base: KnowledgeBase, cause: Cause, mark: str) -> Cause:
    name = cause.id + mark

    def rule(old: str) -> str:
        return name + old.removeprefix(cause.id)

    shows = tuple(replace(r, rule=rule(r.rule), sign=r.sign + mark, when=_all(base, r.when, mark)) for r in cause.shows)
    shifts = tuple(replace(r, rule=rule(r.rule), when=_all(base, r.when, mark)) for r in cause.shifts)
    advice = tuple(replace(r, rule=rule(r.rule), when=_all(base, r.when, mark)) for r in cause.advice)
    return replace(cause, id=name, shows=shows, shifts=shifts, advice=advice)


def _all(base: KnowledgeBase, when: AllOf, mark: str) -> AllOf:
    return AllOf(tuple(_test(base, test, mark) for test in when.tests))


def _test(base: KnowledgeBase, test: Test, mark: str) -> Test:
    """The test on the copies of its signs; all else of a plant is one and the same."""
    match test:
        case AllOf():
            return _all(base, test, mark)
        case AnyOf(tests):
            return AnyOf(tuple(_test(base, part, mark) for part in tests))
        case Atom(kind="sign", values=values):
            return replace(test, values=tuple(value + mark for value in values))
        case _:
            return test


def rows(quick: bool, place: Path) -> Iterator[Row]:
    """Loading the kept copy, the first letter, and any later letter's chaining and belief, at each size."""
    rules = {times: len(evidence_rules(grown(bench().base, times))) for times in (1, 3, 10)}
    found: dict[int, dict[str, Cost]] = {}
    for times in rules:
        larger = Workbench(grown(bench().base, times), bench().reader, bench().folder)
        found[times] = _costs(larger, 3 if quick else 7)
        for what, cost in found[times].items():
            yield Row("rules", f"{rules[times]:,} rules: {what}", cost, f"{rules[1]:,} rules", found[1][what])


def _loaded(kept: bytes) -> None:
    with uncollected():
        pickle.loads(kept)


def _costs(larger: Workbench, rounds: int) -> dict[str, Cost]:
    kept = pickle.dumps(larger, protocol=pickle.HIGHEST_PROTOCOL)
    told, facts = cases(), letter_facts()
    fresh = [pickle.loads(kept) for _ in range(rounds)]
    book = larger.rulebook
    works = {"loading the kept copy": partial(here, partial(_loaded, kept)),
             "the first letter reasoned through": partial(here, lambda: stand(fresh.pop().rulebook, told[0])),
             "a letter's chaining": partial(here, lambda: [book.evidence_chainer.run(true) for true in facts]),
             "a letter's chaining and belief": partial(here, lambda: [stand(book, case) for case in told])}
    for case in told:
        stand(book, case)
    costs = by_turns(works, rounds)
    return {what: cost.each(len(told)) if what.startswith("a letter") else cost for what, cost in costs.items()}
