"""Invented plants sampled from the rule base itself, and growers who answer truthfully, or now and then not.

For a cause, the kind of plant and its circumstances are drawn by how usual they are times how far they raise the
odds of the cause; its signs by their frequencies there, others by their backgrounds. The complaint is one present
sign that the cause shows. Half the plants come "with records": conditions that favour the cause are taken as known.
"""

from __future__ import annotations

import datetime as dt
import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from diagnose.model.asking import OPENING, Circumstance, CircumstanceAnswer, Reply
from diagnose.model.facts import Case, PlantContext
from diagnose.model.knowledge import AnyOf, Atom, Question, Shift, Test
from diagnose.reason.circumstances import Circumstances, is_known, with_answers
from diagnose.reason.interview import AnyQuestion, Interview, Interviewer
from diagnose.reason.standing import Standing, prior_of, stand

__all__ = ["Grower", "Plant", "sample_plants"]

NOTHING_KNOWN = Case(date=dt.date(2025, 1, 15), plant=PlantContext(hemisphere="north"))
TAKEN = 0.5  # how often a rule that favours the cause holds where there are records
PLANT_FIELDS = ("group", "stage", "medium", "size", "place")
RECORDED = ("group", "stage", "medium", "place")


@dataclass(frozen=True, slots=True)
class Plant:
    """An invented plant: what ails it, how it is kept, every sign on it, and how its interview begins."""

    seed: str
    cause: str
    kept: Case
    signs: frozenset[str]
    interview: Interview
    records: bool


@dataclass(slots=True)
class Grower:
    """Answers for one plant. A circumstance is drawn when it is first asked, given all that is known by then."""

    interviewer: Interviewer
    circumstances: Circumstances
    plant: Plant
    slips: float = 0.0
    _slip: random.Random = field(init=False)

    def __post_init__(self) -> None:
        self._slip = random.Random(f"{self.plant.seed}/slips")

    def reply(self, question: AnyQuestion, case: Case) -> Reply:
        """The reply to a question; wrong with the probability of a slip."""
        wrong = self._slip.random() < self.slips
        if isinstance(question, Circumstance):
            return self._told(question, case, wrong)
        rng = random.Random(f"{self.plant.seed}/{question.id}")
        fitting = [answer for answer in question.answers
                   if answer.present and self.plant.signs.issuperset(answer.present)]
        others = [answer.say for answer in question.answers if answer not in fitting]
        if wrong and others:
            return Reply(question.id, (self._slip.choice(others),))
        if not fitting:
            return Reply(question.id, tuple(answer.say for answer in question.answers if answer.healthy)[:1])
        if question.several:
            return Reply(question.id, tuple(answer.say for answer in fitting))
        return Reply(question.id, (max(fitting, key=lambda answer: (len(answer.present), rng.random())).say,))

    def _told(self, question: Circumstance, case: Case, wrong: bool) -> Reply:
        true = drawn(self.circumstances, question, self._standing(case), self.plant.cause,
                     random.Random(f"{self.plant.seed}/{question.id}"), self.interviewer)
        others = [answer.say for answer in question.answers if answer is not true]
        return Reply(question.id, (self._slip.choice(others) if wrong else true.say,))

    def _standing(self, case: Case) -> Standing:
        """What is true of the plant beside what was answered so far."""
        for question in self.interviewer.asking.circumstances.values():
            answers = [answer for answer in question.answers if answer.plant and not answer.habits and all(
                getattr(self.plant.kept.plant, name) == value for name, value in answer.plant.items())]
            if answers and not is_known(case, question):
                case = with_answers(case, question, (answers[0],))
        return stand(self.interviewer.rulebook, case, self.plant.interview.given)


def drawn(circumstances: Circumstances, question: Circumstance, standing: Standing, cause: str, rng: random.Random,
          interviewer: Interviewer) -> CircumstanceAnswer:
    """An answer that is true of a plant with this cause: by its share times the odds of the cause if it holds."""
    number = interviewer.rulebook.cause_number[cause]
    weights = []
    for answer in question.answers:
        prior = float(prior_of(interviewer.rulebook, circumstances.firings(question, answer, standing))[number])
        weights.append(answer.share * prior / (1.0 - prior))
    return rng.choices(question.answers, weights)[0]


def sample_plants(interviewer: Interviewer, causes: Sequence[str], each: int, seed: int) -> Iterator[Plant]:
    """So many plants of each cause, every second one with records. The same seed gives the same plants."""
    circumstances = Circumstances(interviewer.rulebook, interviewer.asking)
    for cause in causes:
        for number in range(each):
            yield _plant(interviewer, circumstances, cause, f"{seed}/{cause}/{number}", records=number % 2 == 0)


def _plant(interviewer: Interviewer, circumstances: Circumstances, cause: str, seed: str, *, records: bool) -> Plant:
    rng = random.Random(seed)
    rulebook = interviewer.rulebook
    while True:
        given, fields = _favoured(rulebook.base.causes[cause].shifts, rng) if records else ((), {})
        kept = _kept(interviewer, circumstances, cause, given, fields, rng)
        network = stand(rulebook, kept, given).network
        shown = network.frequency[rulebook.cause_number[cause]]
        own = {sign for sign, chance in zip(rulebook.signs, shown, strict=True) if rng.random() < chance}
        stray = {sign for sign, chance in zip(rulebook.signs, network.background, strict=True) if rng.random() < chance}
        if not own:
            continue
        signs = own | stray
        signs |= {parent for sign in signs for parent in rulebook.implied[sign]}
        start = replace(kept, plant=replace(kept.plant, size=""), has_records=True) if records else NOTHING_KNOWN
        opening = Reply(OPENING, (rng.choice(sorted(own)),))
        return Plant(seed, cause, kept, frozenset(signs), Interview(start, (opening,), given), records)


def _kept(interviewer: Interviewer, circumstances: Circumstances, cause: str, given: tuple[str, ...],
          fields: dict[str, str], rng: random.Random) -> Case:
    """What kind of plant it is and where it stands."""
    case = NOTHING_KNOWN
    for name in PLANT_FIELDS:
        question = next(q for q in interviewer.asking.circumstances.values() if q.fields == (name,))
        fixed = [answer for answer in question.answers if answer.plant[name] == fields.get(name)]
        answer = fixed[0] if fixed else drawn(circumstances, question, stand(interviewer.rulebook, case, given), cause,
                                              rng, interviewer)
        case = replace(with_answers(case, question, (answer,)), habits=())
    return case


def _favoured(shifts: Sequence[Shift], rng: random.Random) -> tuple[tuple[str, ...], dict[str, str]]:
    """Conditions and kinds of plant that favour the cause, drawn rule by rule."""
    given: list[str] = []
    fields: dict[str, str] = {}
    for shift in shifts:
        if shift.kind != "favoured_by" or rng.random() >= TAKEN:
            continue
        tests = [rng.choice(test.tests) if isinstance(test, AnyOf) else test for test in shift.when.tests]
        if all(_can_be_taken(test) for test in tests):
            for test in tests:
                if isinstance(test, Atom) and test.wanted:
                    value = rng.choice(test.values)
                    if test.kind == "condition":
                        given.append(value)
                    else:
                        fields.setdefault(test.kind, value)
    return tuple(dict.fromkeys(given)), fields


def _can_be_taken(test: Test) -> bool:
    return isinstance(test, Atom) and (test.kind == "condition" or (test.kind in PLANT_FIELDS and test.wanted))


def open_questions(interviewer: Interviewer, interview: Interview, case: Case) -> list[AnyQuestion]:
    """Every question that is neither asked nor settled, in a stable order."""
    settled = {seen.sign for seen in case.signs}
    signs: list[Question] = [question for question in interviewer.rulebook.base.questions.values()
                             if question.id not in interview.asked and not settled.issuperset(question.signs)]
    return [*signs, *(question for question in interviewer.asking.circumstances.values()
                      if question.id not in interview.asked and not is_known(case, question))]
