"""Reads a file of answers: one line a sign or habit, with yes, no or unsure."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from diagnose.frozen import frozen
from diagnose.marked_yaml import Pairs, Text, read_marked, where_of
from diagnose.model.facts import Habit, Origin, SeenSign, State
from diagnose.model.knowledge import KnowledgeBase
from diagnose.problems import InputError, Problem, Where, nearest

__all__ = ["Answers", "read_answers"]

WORDS = {"yes": State.PRESENT, "no": State.ABSENT, "unsure": State.UNSURE}


@frozen
class Answers:
    """What a file of answers says. A habit that the grower is unsure of is left out."""

    signs: tuple[SeenSign, ...]
    habits: tuple[Habit, ...]


def read_answers(path: Path, base: KnowledgeBase) -> Answers:
    """The answers of a file. Raises InputError with every unknown id and word, each with its line."""
    root = read_marked(path)
    where = Where(str(path), 1)
    if not isinstance(root, Pairs) or not root:
        raise InputError.one(where, "no-answers", "This file holds no answers.",
                             'Write lines such as "leaf_limp: yes": an id of a sign, then yes, no or unsure.')
    problems = list(_problems(root, where, base))
    if problems:
        raise InputError(problems)
    certainty = 1.0 - base.scales.constants["misanswered"]
    signs = [SeenSign(name, WORDS[_word(value)], Origin.ANSWER, certainty=certainty)
             for name, value in root.items() if name in base.signs]
    habits = [Habit(name, Origin.ANSWER, _word(value) == "yes") for name, value in root.items()
              if name in base.habits and _word(value) != "unsure"]
    return Answers(tuple(signs), tuple(habits))


def _word(value: object) -> str:
    return value.strip().casefold() if isinstance(value, Text) else ""


def _problems(root: Pairs, where: Where, base: KnowledgeBase) -> Iterator[Problem]:
    for name, value in root.items():
        if name not in base.signs and name not in base.habits:
            yield Problem(root.place(name), "unknown-sign", f'There is no sign called "{name}".',
                          nearest(name, {*base.signs, *base.habits}))
        if _word(value) not in WORDS:
            found = f'"{value}"' if isinstance(value, Text) else "This"
            yield Problem(where_of(value, root.place(name) or where), "bad-answer", f"{found} is no answer.",
                          nearest(_word(value), WORDS))
