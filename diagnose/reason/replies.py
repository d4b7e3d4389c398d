"""Turns replies into facts, one after another, and notices where two things said cannot both be so."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from diagnose.frozen import frozen
from diagnose.model.asking import OPENING, Asking, Reply
from diagnose.model.facts import Case, Origin, SeenSign, State
from diagnose.model.knowledge import Answer, Question
from diagnose.reason.circumstances import with_answers
from diagnose.reason.rulebook import Rulebook

__all__ = ["Contradiction", "Replies"]


@frozen
class Contradiction:
    """Two findings that do not go together: their words, and why, or "" where one plainly denies the other."""

    earlier: str
    later: str
    why: str


class Replies:
    """What replies tell, by a rule base and its questions.

    What the grower came for is certain; an answer to a question is wrong now and then.
    """

    def __init__(self, rulebook: Rulebook, asking: Asking) -> None:
        self._rulebook = rulebook
        self._asking = asking

    def case(self, start: Case, replies: Sequence[Reply]) -> Case:
        """All facts: those of the start, then what each reply tells; of two opposite answers the later counts."""
        case = start
        for reply in replies:
            case = self._taken(case, reply)
        return case

    def contradictions(self, start: Case, replies: Sequence[Reply]) -> tuple[Contradiction, ...]:
        """What does not go together once the last reply has come in; without replies, within the start."""
        if not replies:
            return tuple(self._clashes(start.signs, start.signs))
        before = self.case(start, replies[:-1])
        after = self._taken(before, replies[-1])
        fresh = [seen for seen in after.signs if seen not in before.signs]
        return (*self._reversed(before.signs, fresh), *self._clashes(after.signs, fresh))

    def _taken(self, case: Case, reply: Reply) -> Case:
        circumstance = self._asking.circumstances.get(reply.question)
        if circumstance:
            chosen = tuple(answer for answer in circumstance.answers if answer.say in reply.chosen)
            return with_answers(case, circumstance, chosen) if chosen else case
        told = self._told(case, reply)
        settled = {seen.sign for seen in told}
        return replace(case, signs=tuple(seen for seen in case.signs if seen.sign not in settled) + told)

    def _told(self, case: Case, reply: Reply) -> tuple[SeenSign, ...]:
        if reply.question == OPENING:
            return tuple(SeenSign(sign, State.PRESENT, Origin.ANSWER) for sign in reply.chosen)
        question = self._rulebook.base.questions[reply.question]
        picked = [answer for answer in question.answers if answer.say in reply.chosen]
        return self._settled(case, question, picked) if picked else ()

    def _settled(self, case: Case, question: Question, picked: Iterable[Answer]) -> tuple[SeenSign, ...]:
        """Chosen signs are present, all others of the question absent; several answers add to what was known."""
        picked = tuple(picked)
        present = {sign for answer in picked for sign in answer.present}
        known = {seen.sign: seen.state for seen in case.signs if seen.state is not State.UNSURE}
        there = present | {sign for sign, state in known.items() if state is State.PRESENT and question.several}
        kept = {parent for sign in there for parent in self._rulebook.implied.get(sign, ())}
        if question.several:
            kept |= known.keys()
        quote = "; ".join(answer.say for answer in picked)
        certainty = 1.0 - self._rulebook.base.scales.constants["misanswered"]
        return tuple(SeenSign(sign, State.PRESENT if sign in present else State.ABSENT, Origin.ANSWER, quote,
                              certainty=certainty)
                     for sign in question.signs if sign in present or sign not in kept)

    def _reversed(self, before: Iterable[SeenSign], fresh: Iterable[SeenSign]) -> Iterable[Contradiction]:
        """Answers that say the opposite of what was said of the same sign."""
        held = {seen.sign: seen for seen in before if seen.state is not State.UNSURE}
        for seen in fresh:
            earlier = held.get(seen.sign)
            if earlier and earlier.state is not seen.state and seen.state is not State.UNSURE:
                yield Contradiction(self._words(earlier), self._words(seen), "")

    def _clashes(self, signs: Iterable[SeenSign], fresh: Iterable[SeenSign]) -> Iterable[Contradiction]:
        """Pairs that cannot both be, of which at least one is fresh."""
        signs = tuple(signs)
        new = {(seen.sign, seen.state) for seen in fresh}
        present = {seen.sign: seen for seen in signs if seen.state is State.PRESENT}
        for clash in self._asking.clashes:
            pair = [present[sign] for sign in clash.signs if sign in present]
            if len(pair) == 2 and any((seen.sign, seen.state) in new for seen in pair):
                yield Contradiction(self._words(pair[0]), self._words(pair[1]), clash.why)
        for seen in signs:
            if seen.state is not State.ABSENT:
                continue
            for special, other in present.items():
                if seen.sign in self._rulebook.implied[special] and {(special, State.PRESENT),
                                                                     (seen.sign, State.ABSENT)} & new:
                    yield Contradiction(self._words(other), self._words(seen), "The first is a form of the second.")

    def _words(self, seen: SeenSign) -> str:
        name = self._rulebook.base.signs[seen.sign].name
        return name if seen.state is State.PRESENT else f"not: {name}"
