"""Checks of signs and their questions, and of the names of plant groups."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from diagnose.knowledge.checking import check
from diagnose.model.knowledge import KnowledgeBase
from diagnose.problems import Problem, Where

__all__: list[str] = []


@check("sign-without-question")
def sign_without_question(base: KnowledgeBase) -> Iterator[Problem]:
    """Signs that no question, or more than one, settles."""
    asked = Counter(sign for question in base.questions.values() for sign in question.signs)
    for sign in base.signs.values():
        if asked[sign.id] != 1:
            words = "No question settles" if not asked[sign.id] else f"{asked[sign.id]} questions settle"
            yield Problem(sign.where, "sign-without-question", f'{words} the sign "{sign.id}".', "One must.")


@check("no-healthy-answer")
def no_healthy_answer(base: KnowledgeBase) -> Iterator[Problem]:
    """Questions whose answers cannot say that all is well."""
    for question in base.questions.values():
        if not any(answer.healthy for answer in question.answers):
            yield Problem(question.where, "no-healthy-answer", f'"{question.ask}" has no healthy answer.',
                          "A healthy answer says that the other states are absent.")


@check("answer-settles-nothing")
def answer_settles_nothing(base: KnowledgeBase) -> Iterator[Problem]:
    """Answers that say neither what is there nor that all is well, or both."""
    for question in base.questions.values():
        for answer in question.answers:
            if answer.healthy == bool(answer.present):
                yield Problem(question.where, "answer-settles-nothing",
                              f'The answer "{answer.say}" must name signs under "present", or be healthy, not both.')


@check("name-of-two-groups")
def name_of_two_groups(base: KnowledgeBase) -> Iterator[Problem]:
    """Plant names that stand for two groups."""
    first: dict[str, str] = {}
    for group in base.groups.values():
        for name in group.names:
            if first.setdefault(name, group.id) != group.id:
                yield Problem(Where(group.where.file, group.where.line), "name-of-two-groups",
                              f'"{name}" names both {first[name]} and {group.id}.')
