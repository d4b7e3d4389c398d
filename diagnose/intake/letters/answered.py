"""A question that the writer answers himself: "Mealybugs? None that I saw." """

from __future__ import annotations

from diagnose.intake.letters.scopes import ScopeTable
from diagnose.intake.letters.tokens import Sentence
from diagnose.intake.letters.tries import longest
from diagnose.model.facts import State

__all__ = ["answer_to"]

_LONGEST_QUESTION = 6


def answer_to(question: Sentence | None, following: Sentence, table: ScopeTable) -> State | None:
    """What the sentence that follows a short question makes of it; None where it is no answer."""
    if question is None or not question.question or len(question.words) > _LONGEST_QUESTION or following.question:
        return None
    if longest(table.answered_no, following.words, 0):
        return State.ABSENT
    return State.PRESENT if longest(table.answered_yes, following.words, 0) else None
