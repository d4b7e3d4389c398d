"""The question sequence: how long the next question keeps one waiting."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from functools import partial
from pathlib import Path

from diagnose.model.asking import OPENING, Reply
from diagnose.model.facts import Case
from diagnose.reason.interview import Interview
from tests.measure.benchmarks.table import Row
from tests.measure.benchmarks.timing import by_turns, here
from tests.measure.interview import opened

__all__ = ["rows"]

DATE = dt.date(2026, 3, 2)


def rows(quick: bool, place: Path) -> Iterator[Row]:
    """The step after the first sign picked, over twenty signs of the rule base."""
    interviewer = opened()
    signs = sorted(interviewer.rulebook.signs)[::7][:20]
    begun = [Interview(Case(date=DATE), (Reply(OPENING, (sign,)),)) for sign in signs]
    works = {"": partial(here, lambda: [interviewer.step(interview) for interview in begun])}
    by_turns(works, 1)
    cost = by_turns(works, 3 if quick else 7)[""].each(len(begun))
    yield Row("questions", "a step of the interview", cost, remark="aim: at most 50 ms")
