"""Checks that everything in the rule base is used by something else in it."""

from __future__ import annotations

from collections.abc import Iterator

from diagnose.knowledge.checking import atoms_of, check, claims_of, whens_of
from diagnose.model.knowledge import KnowledgeBase
from diagnose.problems import Problem

__all__: list[str] = []


def _used(base: KnowledgeBase, kind: str) -> set[str]:
    return {value for test in whens_of(base) for atom in atoms_of(test) if atom.kind == kind for value in atom.values}


@check("unused-sign")
def unused_sign(base: KnowledgeBase) -> Iterator[Problem]:
    """Signs that no cause shows and no test asks for."""
    used = {rule.sign for cause in base.causes.values() for rule in cause.shows} | _used(base, "sign")
    used |= {parent for sign in base.signs.values() for parent in sign.implies}
    for sign in base.signs.values():
        if sign.id not in used:
            yield Problem(sign.where, "unused-sign", f'No cause shows the sign "{sign.id}".')


@check("unused-condition")
def unused_condition(base: KnowledgeBase) -> Iterator[Problem]:
    """Conditions that no rule asks for."""
    used = _used(base, "condition")
    for condition in base.conditions.values():
        if condition.id not in used:
            yield Problem(condition.claim.where, "unused-condition", f'No rule asks for "{condition.id}".')


@check("unused-habit")
def unused_habit(base: KnowledgeBase) -> Iterator[Problem]:
    """Habits that no rule asks for."""
    used = _used(base, "habit")
    for habit in base.habits.values():
        if habit.id not in used:
            yield Problem(habit.where, "unused-habit", f'No rule asks for the habit "{habit.id}".')


@check("unused-caution")
def unused_caution(base: KnowledgeBase) -> Iterator[Problem]:
    """Cautions that no cause names."""
    used = {caution for cause in base.causes.values() for caution in cause.cautions}
    for caution in base.cautions.values():
        if caution.id not in used:
            yield Problem(caution.where, "unused-caution", f'No cause names the caution "{caution.id}".')


@check("source-nobody-cites")
def source_nobody_cites(base: KnowledgeBase) -> Iterator[Problem]:
    """Sources that no claim cites."""
    cited = {source for claim in claims_of(base) for source in claim.sources}
    cited |= {source for caution in base.cautions.values() for source in caution.sources}
    cited |= {source for group in base.groups.values() for need in group.needs.values() for source in need.sources}
    cited |= {source for task in base.season for source in task.claim.sources}
    cited |= {source for rules in (base.water, base.outlook) if rules for source in rules.sources}
    for source in base.sources.values():
        if source.id not in cited:
            yield Problem(source.where, "source-nobody-cites", f'No claim cites "{source.id}".')
