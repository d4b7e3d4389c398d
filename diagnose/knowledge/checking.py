"""The register of checks over a whole rule base: one small function each, under the code that it reports."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from diagnose.model.knowledge import AllOf, AnyOf, Atom, Claim, EventTest, KnowledgeBase, MeasureTest, Test
from diagnose.problems import Problem

__all__ = ["CHECKS", "Check", "atoms_of", "check", "claims_of", "whens_of"]

Check = Callable[[KnowledgeBase], Iterator[Problem]]
CHECKS: dict[str, Check] = {}


def check(code: str) -> Callable[[Check], Check]:
    """Puts a function into the register under the code of its findings."""
    def register(function: Check) -> Check:
        CHECKS[code] = function
        return function

    return register


def atoms_of(test: Test) -> Iterator[Atom]:
    """The tests inside a test that name a thing, leaving out those on days and measures."""
    match test:
        case Atom():
            yield test
        case AllOf(tests) | AnyOf(tests):
            for part in tests:
                yield from atoms_of(part)
        case EventTest() | MeasureTest():
            return


def whens_of(base: KnowledgeBase) -> Iterator[Test]:
    """The tests of every condition, of every rule, and of what is said of the outlook and the season."""
    yield from (condition.when for condition in base.conditions.values())
    for cause in base.causes.values():
        yield from (rule.when for rule in cause.rules)
    yield from (task.when for task in base.season)
    yield from (concern.when for concern in (base.outlook.concerns if base.outlook else ()))


def claims_of(base: KnowledgeBase) -> Iterator[Claim]:
    """Everything that the conditions and the causes claim."""
    yield from (condition.claim for condition in base.conditions.values())
    for cause in base.causes.values():
        yield from cause.claims
