"""Checks of the rules of a cause: do they fire, do they clash, is there enough of them?"""

from __future__ import annotations

from collections.abc import Iterator

from diagnose.knowledge.checking import check
from diagnose.knowledge.possible import can_hold
from diagnose.model.knowledge import AnyOf, KnowledgeBase
from diagnose.problems import Problem

__all__: list[str] = []

_LEAST_SIGNS = 2
_DECISIVE = 0.9


@check("too-few-signs")
def too_few_signs(base: KnowledgeBase) -> Iterator[Problem]:
    """Causes with fewer than two signs and no decisive one."""
    for cause in base.causes.values():
        decisive = any(rule.frequency >= _DECISIVE for rule in cause.shows)
        if len({rule.sign for rule in cause.shows}) < _LEAST_SIGNS and not decisive:
            yield Problem(cause.where, "too-few-signs", f'"{cause.id}" shows fewer than two signs.')


@check("two-rules-clash")
def two_rules_clash(base: KnowledgeBase) -> Iterator[Problem]:
    """The same sign twice in the same context, or one context both for and against."""
    for cause in base.causes.values():
        seen: dict[object, str] = {}
        for show in cause.shows:
            if (show.sign, show.when) in seen:
                yield Problem(show.claim.where, "two-rules-clash", f'"{show.sign}" stands here twice for "{cause.id}".')
            seen[(show.sign, show.when)] = show.rule
        for shift in cause.shifts:
            side = "for" if shift.decibans > 0 else "against"
            if seen.get(shift.when, side) != side:
                yield Problem(shift.claim.where, "two-rules-clash",
                              f'The same context speaks for and against "{cause.id}".')
            seen[shift.when] = side


@check("advice-twice")
def advice_twice(base: KnowledgeBase) -> Iterator[Problem]:
    """The same words advised twice, or advised and forbidden, for one cause."""
    for cause in base.causes.values():
        seen: set[str] = set()
        for rule in cause.advice:
            if rule.text in seen:
                yield Problem(rule.claim.where, "advice-twice", f'"{rule.text[:60]}" stands here twice.', "Keep one.")
            seen.add(rule.text)


@check("rule-never-counts")
def rule_never_counts(base: KnowledgeBase) -> Iterator[Problem]:
    """A sign shown in some context no oftener than it is shown in any: the larger frequency always counts."""
    for cause in base.causes.values():
        always = {show.sign: show.frequency for show in cause.shows if not show.when.tests}
        for show in cause.shows:
            if show.when.tests and show.frequency <= always.get(show.sign, 0.0):
                yield Problem(show.claim.where, "rule-never-counts",
                              f'"{show.sign}" is shown at least as often without this context.',
                              "A context can only make a sign more frequent.")


@check("rule-never-fires")
def rule_never_fires(base: KnowledgeBase) -> Iterator[Problem]:
    """Rules whose tests exclude each other: two stages at once, a sign seen and not seen, a trait no group has."""
    for condition in base.conditions.values():
        alternatives = condition.when.tests if isinstance(condition.when, AnyOf) else (condition.when,)
        if not all(can_hold(base, part) for part in alternatives):
            yield Problem(condition.claim.where, "rule-never-fires", f'Part of "{condition.id}" can never hold.')
    for cause in base.causes.values():
        for rule in cause.rules:
            if not can_hold(base, rule.when):
                yield Problem(rule.claim.where, "rule-never-fires", f'The tests of "{rule.rule}" exclude each other.')


@check("no-example")
def no_example(base: KnowledgeBase) -> Iterator[Problem]:
    """Causes without an example that they must win and one that they must lose."""
    for cause in base.causes.values():
        if all(example.loses_to for example in cause.examples):
            yield Problem(cause.where, "no-example", f'"{cause.id}" has no example that it must win.')
        if cause.look_alikes and not any(example.loses_to for example in cause.examples):
            yield Problem(cause.where, "no-example", f'"{cause.id}" has no example that it must lose to a look-alike.')


@check("no-first-step")
def no_first_step(base: KnowledgeBase) -> Iterator[Problem]:
    """Causes without advice for now that holds whatever the context."""
    for cause in base.causes.values():
        if not any(rule.part == "now" and not rule.when.tests for rule in cause.advice):
            yield Problem(cause.where, "no-first-step", f'"{cause.id}" does not say what to do now, whatever the case.')
