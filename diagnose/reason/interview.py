"""The short question sequence as a value: what is known, what was asked, what to ask next and when to stop.

An interview is never changed: answering and going back give a new one. Nothing is printed here.
"""

from __future__ import annotations

from dataclasses import replace
from enum import StrEnum

import numpy as np

from diagnose.frozen import frozen
from diagnose.model.asking import OPENING, Asking, Circumstance, Reply
from diagnose.model.facts import Case
from diagnose.model.knowledge import Question
from diagnose.reason.advise import advise
from diagnose.reason.circumstances import CircumstanceCandidate, Circumstances
from diagnose.reason.consult import verdict_of
from diagnose.reason.questions import Candidate, answer_chances, answered, candidates, open_answers
from diagnose.reason.replies import Contradiction, Replies
from diagnose.reason.rulebook import Rulebook
from diagnose.reason.standing import Standing, stand

__all__ = ["AnyCandidate", "AnyQuestion", "Effect", "Interview", "Interviewer", "Step", "Stop"]

AnyQuestion = Question | Circumstance
AnyCandidate = Candidate | CircumstanceCandidate
DESTRUCTIVE = ("unpot", "cut")  # looks that cost the plant something
KIND = {"group", "stage", "medium"}  # what a plant is; the rest of a sequence hangs on it


class Stop(StrEnum):
    """Why no further question is asked."""

    ONE = "one cause is clear"
    SET = "several causes are clear together"
    NOTHING_WORTH = "no question is worth its effort"
    ENOUGH = "enough was asked"


@frozen
class Interview:
    """The facts it began with, every reply so far in order, and conditions taken as holding whatever the facts say."""

    start: Case
    replies: tuple[Reply, ...] = ()
    given: tuple[str, ...] = ()

    @property
    def asked(self) -> frozenset[str]:
        """Ids of the questions put so far, skipped ones included."""
        return frozenset(reply.question for reply in self.replies)

    @property
    def answered_count(self) -> int:
        """How many questions were answered; a skipped one costs nothing."""
        return sum(bool(reply.chosen) and reply.question != OPENING for reply in self.replies)

    def answer(self, reply: Reply) -> Interview:
        """The interview with one reply more."""
        return replace(self, replies=(*self.replies, reply))

    def back(self) -> Interview:
        """The interview before the last reply; itself where there was none."""
        return replace(self, replies=self.replies[:-1])


@frozen
class Step:
    """Where an interview stands: the belief, and either what to ask or why to stop."""

    standing: Standing
    ask: AnyCandidate | None
    stop: Stop | None
    contradictions: tuple[Contradiction, ...]


@frozen
class Effect:
    """What an answer would change: the cause that would then lead, its probability then and now."""

    say: str
    leader: int
    probability: float
    now: float


class Interviewer:
    """Puts questions from a rule base. Holds nothing of any interview."""

    def __init__(self, rulebook: Rulebook, asking: Asking) -> None:
        self.rulebook = rulebook
        self.asking = asking
        self._circumstances = Circumstances(rulebook, asking)
        self._replies = Replies(rulebook, asking)
        self._constants = rulebook.base.scales.constants

    def case(self, interview: Interview) -> Case:
        """All facts: those of the start and what the replies tell."""
        return self._replies.case(interview.start, interview.replies)

    def stand(self, interview: Interview) -> Standing:
        """How things stand with all facts."""
        return stand(self.rulebook, self.case(interview), interview.given)

    def step(self, interview: Interview) -> Step:
        """Where the interview stands and what comes next."""
        standing = self.stand(interview)
        contradictions = self._replies.contradictions(interview.start, interview.replies)
        stop = self._clear(standing)
        if stop is None and interview.answered_count >= self._constants["most_questions"]:
            stop = Stop.ENOUGH
        if stop:
            return Step(standing, None, stop, contradictions)
        ranked = self.ranked(interview, standing)
        chosen = next((c for c in ranked if self._worth_asking(interview, standing, c)), None)
        return Step(standing, chosen, None if chosen else Stop.NOTHING_WORTH, contradictions)

    def ranked(self, interview: Interview, standing: Standing) -> list[AnyCandidate]:
        """Every question still open, the most worth asking first.

        What kind of plant it is comes before anything else is asked, if it matters.
        """
        found: list[AnyCandidate] = [*candidates(self.rulebook, standing, interview.asked),
                                     *self._circumstances.candidates(standing, interview.asked)]
        begins = all(not reply.chosen or reply.question == OPENING or self._is_kind(reply.question)
                     for reply in interview.replies)
        return sorted(found, key=lambda candidate: (not (begins and self._kind_matters(candidate)), -candidate.worth,
                                                    candidate.question.id))

    def _is_kind(self, question: str) -> bool:
        circumstance = self.asking.circumstances.get(question)
        return circumstance is not None and not KIND.isdisjoint(circumstance.fields)

    def _kind_matters(self, candidate: AnyCandidate) -> bool:
        return self._is_kind(candidate.question.id) and candidate.gain_bits >= self._constants["kind_first_bits"]

    def open_answers(self, question: AnyQuestion, standing: Standing) -> tuple[str, ...]:
        """The words of the answers that can still be chosen."""
        if isinstance(question, Circumstance):
            return tuple(answer.say for answer in question.answers)
        return tuple(answer.say for answer in open_answers(question, answered(self.rulebook, standing)))

    def effects(self, interview: Interview, standing: Standing, question: AnyQuestion) -> tuple[Effect, ...]:
        """What each answer would change."""
        found = []
        for say in self.open_answers(question, standing):
            after = self.stand(interview.answer(Reply(question.id, (say,))))
            leader = int(np.argmax(after.probability))
            found.append(Effect(say, leader, float(after.probability[leader]), float(standing.probability[leader])))
        return tuple(found)

    def _clear(self, standing: Standing) -> Stop | None:
        if not standing.observed.present or verdict_of(self.rulebook, standing) != "decided":
            return None
        if float(standing.probability.max()) < self._constants["stop_from"]:
            return None
        certain = [cause for cause in standing.best if standing.probability[cause] >= self._constants["decided_from"]]
        return Stop.SET if len(certain) > 1 else Stop.ONE

    def _worth_asking(self, interview: Interview, standing: Standing, candidate: AnyCandidate) -> bool:
        """Whether the gain is worth the effort, and the answer worth the harm."""
        if candidate.worth < self._constants["worth_asking_bits"]:
            return False
        question = candidate.question
        if isinstance(question, Circumstance) or question.effort not in DESTRUCTIVE:
            return True
        chances = answer_chances(self.rulebook, standing, question)
        leader = int(np.argmax(standing.probability))
        return any(chances[effect.say] >= self._constants["destructive_from"] and effect.leader != leader
                   and self._advice_differs(standing, leader, effect.leader)
                   for effect in self.effects(interview, standing, question))

    def _advice_differs(self, standing: Standing, first: int, second: int) -> bool:
        names = self.rulebook.causes[first], self.rulebook.causes[second]
        found = advise(self.rulebook, standing, names)
        return found[names[0]] != found[names[1]]
