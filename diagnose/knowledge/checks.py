"""Is the rule base good? Checks over the whole base, one small function each.

Reading (can it be read) happens in the loader; what stands here looks at a base that could be read.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterator

from diagnose.model.knowledge import AllOf, AnyOf, Atom, Cause, Claim, EventTest, KnowledgeBase, MeasureTest, Test
from diagnose.problems import Problem, Where

__all__ = ["CHECKS", "run_checks"]

Check = Callable[[KnowledgeBase], Iterator[Problem]]
CHECKS: dict[str, Check] = {}
_FILLER = re.compile(r"\b(todo|tbd|fixme|lorem|n/a|xxx|unknown|placeholder)\b|^\W*$", re.IGNORECASE)
_LEAST_SIGNS = 2
_DECISIVE = 0.9
_CONTEXT_KINDS = ("sign", "stage", "medium", "size", "season", "place", "reservoir", "condition")


def run_checks(base: KnowledgeBase) -> list[Problem]:
    """Every finding of every check, sorted by place."""
    return sorted(problem for check in CHECKS.values() for problem in check(base))


def _check(code: str) -> Callable[[Check], Check]:
    def register(check: Check) -> Check:
        CHECKS[code] = check
        return check

    return register


def _atoms(test: Test) -> Iterator[Atom]:
    match test:
        case Atom():
            yield test
        case AllOf(tests) | AnyOf(tests):
            for part in tests:
                yield from _atoms(part)
        case EventTest() | MeasureTest():
            return


def _whens(base: KnowledgeBase) -> Iterator[Test]:
    yield from (condition.when for condition in base.conditions.values())
    for cause in base.causes.values():
        yield from (rule.when for rule in cause.rules)


def _used(base: KnowledgeBase, kind: str) -> set[str]:
    return {value for test in _whens(base) for atom in _atoms(test) if atom.kind == kind for value in atom.values}


def _claims(base: KnowledgeBase) -> Iterator[Claim]:
    yield from (condition.claim for condition in base.conditions.values())
    for cause in base.causes.values():
        yield from cause.claims


@_check("filler-text")
def filler_text(base: KnowledgeBase) -> Iterator[Problem]:
    """Texts that say nothing."""
    for cause in base.causes.values():
        texts = [(cause.name, cause.where), (cause.story, cause.where), (cause.recovers, cause.where)]
        texts += [(claim.why, claim.where) for claim in cause.claims if claim.why]
        texts += [(rule.text, rule.claim.where) for rule in cause.advice]
        texts += [(other.tell_apart, other.where) for other in cause.look_alikes]
        for text, where in texts:
            if _FILLER.search(text):
                yield Problem(where, "filler-text", f'"{text[:60]}" says nothing a grower can use.', "Say it plainly.")


@_check("unused-sign")
def unused_sign(base: KnowledgeBase) -> Iterator[Problem]:
    """Signs that no cause shows and no test asks for."""
    used = {rule.sign for cause in base.causes.values() for rule in cause.shows} | _used(base, "sign")
    used |= {parent for sign in base.signs.values() for parent in sign.implies}
    for sign in base.signs.values():
        if sign.id not in used:
            yield Problem(sign.where, "unused-sign", f'No cause shows the sign "{sign.id}".')


@_check("sign-without-question")
def sign_without_question(base: KnowledgeBase) -> Iterator[Problem]:
    """Signs that no question, or more than one, settles."""
    asked = Counter(sign for question in base.questions.values() for sign in question.signs)
    for sign in base.signs.values():
        if asked[sign.id] != 1:
            words = "No question settles" if not asked[sign.id] else f"{asked[sign.id]} questions settle"
            yield Problem(sign.where, "sign-without-question", f'{words} the sign "{sign.id}".', "One must.")


@_check("no-healthy-answer")
def no_healthy_answer(base: KnowledgeBase) -> Iterator[Problem]:
    """Questions whose answers cannot say that all is well."""
    for question in base.questions.values():
        if not any(answer.healthy for answer in question.answers):
            yield Problem(question.where, "no-healthy-answer", f'"{question.ask}" has no healthy answer.',
                          "A healthy answer says that the other states are absent.")


@_check("too-few-signs")
def too_few_signs(base: KnowledgeBase) -> Iterator[Problem]:
    """Causes with fewer than two signs and no decisive one."""
    for cause in base.causes.values():
        decisive = any(rule.frequency >= _DECISIVE for rule in cause.shows)
        if len({rule.sign for rule in cause.shows}) < _LEAST_SIGNS and not decisive:
            yield Problem(cause.where, "too-few-signs", f'"{cause.id}" shows fewer than two signs.')


@_check("look-alikes-not-mutual")
def look_alikes_not_mutual(base: KnowledgeBase) -> Iterator[Problem]:
    """Look-alikes that do not name each other."""
    for cause in base.causes.values():
        for other in cause.look_alikes:
            back = base.causes.get(other.cause)
            if back and cause.id not in {look.cause for look in back.look_alikes}:
                yield Problem(other.where, "look-alikes-not-mutual",
                              f'"{cause.id}" names "{other.cause}" as look-alike, which does not name it back.')


@_check("look-alikes-not-separated")
def look_alikes_not_separated(base: KnowledgeBase) -> Iterator[Problem]:
    """Look-alikes that no sign, shift or settling check tells apart."""
    for cause in base.causes.values():
        for other in cause.look_alikes:
            rival = base.causes.get(other.cause)
            if rival and cause.id < rival.id and not _separated(cause, rival):
                yield Problem(other.where, "look-alikes-not-separated",
                              f'No sign, condition or check tells "{cause.id}" from "{rival.id}".')


def _separated(cause: Cause, rival: Cause) -> bool:
    mine = {rule.sign: rule.frequency for rule in cause.shows}
    theirs = {rule.sign: rule.frequency for rule in rival.shows}
    by_sign = any(abs(mine.get(sign, 0.0) - theirs.get(sign, 0.0)) >= 0.25 for sign in mine.keys() | theirs.keys())
    by_shift = {(rule.when, rule.decibans) for rule in cause.shifts} != {(r.when, r.decibans) for r in rival.shifts}
    by_check = any(rival.id in check.against for check in cause.settle)
    return by_sign or by_shift or by_check


@_check("two-rules-clash")
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


@_check("rule-never-fires")
def rule_never_fires(base: KnowledgeBase) -> Iterator[Problem]:
    """Rules whose tests exclude each other: two stages at once, a sign both seen and not seen."""
    for condition in base.conditions.values():
        alternatives = condition.when.tests if isinstance(condition.when, AnyOf) else (condition.when,)
        if any(_impossible(part) for part in alternatives):
            yield Problem(condition.claim.where, "rule-never-fires", f'Part of "{condition.id}" can never hold.')
    for cause in base.causes.values():
        for rule in cause.rules:
            if _impossible(rule.when):
                yield Problem(rule.claim.where, "rule-never-fires", f'The tests of "{rule.rule}" exclude each other.')


def _impossible(test: Test) -> bool:
    if not isinstance(test, AllOf):
        return False
    atoms = [atom for atom in test.tests if isinstance(atom, Atom)]
    for number, atom in enumerate(atoms):
        for other in atoms[number + 1:]:
            if atom.kind != other.kind or atom.kind not in _CONTEXT_KINDS:
                continue
            shared = set(atom.values) & set(other.values)
            single = atom.kind not in ("sign", "condition")
            if (single and not shared) or (not single and shared and atom.wanted != other.wanted):
                return True
    return False


@_check("unused-condition")
def unused_condition(base: KnowledgeBase) -> Iterator[Problem]:
    """Conditions that no rule asks for."""
    used = _used(base, "condition")
    for condition in base.conditions.values():
        if condition.id not in used:
            yield Problem(condition.claim.where, "unused-condition", f'No rule asks for "{condition.id}".')


@_check("unused-habit")
def unused_habit(base: KnowledgeBase) -> Iterator[Problem]:
    """Habits that no rule asks for."""
    used = _used(base, "habit")
    for habit in base.habits.values():
        if habit.id not in used:
            yield Problem(habit.where, "unused-habit", f'No rule asks for the habit "{habit.id}".')


@_check("source-nobody-cites")
def source_nobody_cites(base: KnowledgeBase) -> Iterator[Problem]:
    """Sources that no claim cites."""
    cited = {source for claim in _claims(base) for source in claim.sources}
    cited |= {source for caution in base.cautions.values() for source in caution.sources}
    cited |= {source for group in base.groups.values() for need in group.needs.values() for source in need.sources}
    for source in base.sources.values():
        if source.id not in cited:
            yield Problem(source.where, "source-nobody-cites", f'No claim cites "{source.id}".')


@_check("no-example")
def no_example(base: KnowledgeBase) -> Iterator[Problem]:
    """Causes without an example that they must win and one that they must lose."""
    for cause in base.causes.values():
        if all(example.loses_to for example in cause.examples):
            yield Problem(cause.where, "no-example", f'"{cause.id}" has no example that it must win.')
        if cause.look_alikes and not any(example.loses_to for example in cause.examples):
            yield Problem(cause.where, "no-example", f'"{cause.id}" has no example that it must lose to a look-alike.')


@_check("no-first-step")
def no_first_step(base: KnowledgeBase) -> Iterator[Problem]:
    """Causes without advice for now."""
    for cause in base.causes.values():
        if not any(rule.part == "now" for rule in cause.advice):
            yield Problem(cause.where, "no-first-step", f'"{cause.id}" does not say what to do now.')


@_check("name-of-two-groups")
def name_of_two_groups(base: KnowledgeBase) -> Iterator[Problem]:
    """Plant names that stand for two groups."""
    first: dict[str, str] = {}
    for group in base.groups.values():
        for name in group.names:
            if first.setdefault(name, group.id) != group.id:
                yield Problem(Where(group.where.file, group.where.line), "name-of-two-groups",
                              f'"{name}" names both {first[name]} and {group.id}.')
