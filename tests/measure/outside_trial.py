"""Puts labelled cases to the project's belief (at most one cause) and to its choice of questions, and scores them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import astuple, dataclass
from statistics import fmean

import numpy as np

from diagnose.model.knowledge import Scales
from diagnose.reason.belief import damping_factor, single_cause
from diagnose.reason.chances import expected_calibration_error
from diagnose.reason.network import Floats, Network, Observed
from diagnose.reason.questions import bits_told
from tests.measure.outside_cases import UNKNOWN, Ints, LabelledCases, folds_of
from tests.measure.outside_words import Learned, Shares, counted

__all__ = ["Believer", "Decisions", "Scores", "cross_validated", "decisions", "judged", "questioned",
           "questioned_at_random", "scores"]

FOLDS = 10
BINS = 15
NO_BACKGROUND = 1e-15  # where every answer comes from a hypothesis; a network wants more than 0
LEAST_PROBABILITY = 1e-6  # for the logarithmic loss


class Believer:
    """Answers in, probabilities [hypotheses] out; the last hypothesis is "none of these".

    Each answer is a sign of its own. As a rule an answer given is a sign seen and says all there is to say, as its
    chances are scaled over the question. ``departures`` instead puts answers as the question sequence does: the usual
    answer is no sign, and all other signs of the question count as looked for and absent.
    """

    def __init__(self, learned: Learned, scales: Scales, departures: bool = False) -> None:
        self.chances = learned.departure_chances if departures else learned.chances
        self._starts = np.cumsum([0, *(table.shape[1] for table in learned.frequency)])
        self._usual = learned.usual if departures else None
        self._constants = scales.constants
        tables = learned.frequency if departures else self.chances
        background = learned.background if departures else NO_BACKGROUND
        self._network = Network(learned.prior, np.full(self._starts[-1], background), np.concatenate(tables, axis=1))

    def believe(self, answers: Mapping[int, int], damped: bool = True) -> Floats:
        """The probabilities after the answers, by question number."""
        constants = self._constants
        factor = damping_factor(len(answers), constants["damping_from"], constants["damping_power"])
        one = single_cause(self._network, self._observed(answers), factor if damped else 1.0)[:-1]
        return np.asarray(one / one.sum(), dtype=np.float64)

    def _observed(self, answers: Mapping[int, int]) -> Observed:
        columns = {question: int(self._starts[question]) + answer for question, answer in answers.items()}
        if self._usual is None:
            return Observed(tuple(columns.values()), ())
        usual = {int(self._starts[question]) + self._usual[question] for question in answers}
        every = {column for question in answers
                 for column in range(int(self._starts[question]), int(self._starts[question + 1]))}
        present = set(columns.values()) - usual
        return Observed(tuple(sorted(present)), tuple(sorted(every - usual - present)))

    def next_question(self, answers: Mapping[int, int], asked: frozenset[int]) -> int:
        """The question not asked yet that is expected to tell most about the cause."""
        bits = bits_told(self.believe(answers, damped=False), self.chances)
        bits[list(asked)] = -1.0
        return int(np.argmax(bits))


def _given(answers: Ints) -> dict[int, int]:
    return {question: int(answer) for question, answer in enumerate(answers) if answer != UNKNOWN}


def judged(believer: Believer, rows: Ints, cases: LabelledCases) -> Floats:
    """Probabilities [rows, hypotheses] after all answers of each case."""
    return np.array([believer.believe(_given(cases.answers[row])) for row in rows])


def questioned(believer: Believer, rows: Ints, cases: LabelledCases, most: int) -> Floats:
    """Probabilities [most + 1, rows, hypotheses] after each question, the most telling one first.

    Every question counts, answered or not. Cases with the same answers so far go together.
    """
    found = np.zeros((most + 1, len(rows), len(believer.chances[0])))
    groups: list[tuple[Ints, dict[int, int], frozenset[int]]] = [(np.arange(len(rows)), {}, frozenset())]
    while groups:
        group, answers, asked = groups.pop()
        found[len(asked), group] = believer.believe(answers)
        if len(asked) == most:
            continue
        question = believer.next_question(answers, asked)
        replies = cases.answers[rows[group], question]
        for reply in np.unique(replies):
            told = answers if reply == UNKNOWN else {**answers, question: int(reply)}
            groups.append((group[replies == reply], told, asked | {question}))
    return found


def questioned_at_random(believer: Believer, rows: Ints, cases: LabelledCases, count: int, seed: int) -> Floats:
    """Probabilities [rows, hypotheses] after so many questions in an order of chance for each case."""
    draw = np.random.default_rng(seed)
    found = []
    for row in rows:
        order = draw.permutation(len(cases.sizes))[:count]
        found.append(believer.believe({question: answer for question, answer in _given(cases.answers[row]).items()
                                       if question in order}))
    return np.array(found)


def cross_validated(cases: LabelledCases, seed: int, learn: Callable[[Shares], Believer],
                    trial: Callable[[Believer, Ints], Floats]) -> Floats:
    """Probabilities [..., cases, hypotheses]: each fold judged by a believer that learned from the others."""
    fold = folds_of(cases, FOLDS, seed)
    parts = [np.flatnonzero(fold == number) for number in range(FOLDS)]
    found = [trial(learn(counted(cases, np.flatnonzero(fold != number))), rows) for number, rows in enumerate(parts)]
    return np.asarray(np.concatenate(found, axis=-2)[..., np.argsort(np.concatenate(parts)), :], dtype=np.float64)


@dataclass(frozen=True, slots=True)
class Scores:
    """Shares in 0 to 1 of cases with the cause in the first and among the first three, and two losses.

    ``log_loss`` is in nats; ``calibration_error`` is that of the leader's probability over 15 bins of equal width.
    ``first_in_group`` takes the causes of a group of look-alikes for one.
    """

    first: float
    among_three: float
    log_loss: float
    calibration_error: float
    first_in_group: float

    @classmethod
    def mean(cls, several: Sequence[Scores]) -> Scores:
        """The mean over repetitions."""
        return cls(*map(fmean, zip(*map(astuple, several), strict=True)))


def scores(probability: Floats, cases: LabelledCases, group: frozenset[str] = frozenset()) -> Scores:
    """Scores of probabilities [cases, hypotheses]."""
    order = np.argsort(-probability, axis=1, kind="stable")
    right = order[:, 0] == cases.cause
    own = np.maximum(probability[np.arange(len(right)), cases.cause], LEAST_PROBABILITY)
    alike = np.array([*(cause in group for cause in cases.causes), False])
    return Scores(
        first=float(right.mean()),
        among_three=float((order[:, :3] == cases.cause[:, None]).any(axis=1).mean()),
        log_loss=float(-np.log(own).mean()),
        calibration_error=_calibration_error(probability.max(axis=1), right.astype(np.float64)),
        first_in_group=float((right | (alike[order[:, 0]] & alike[cases.cause])).mean()),
    )


def _calibration_error(said: Floats, right: Floats) -> float:
    bins = np.minimum((said * BINS).astype(np.int64), BINS - 1)
    held = [bins == number for number in np.unique(bins)]
    return expected_calibration_error([(int(own.sum()), float(said[own].mean()), float(right[own].mean()))
                                       for own in held])


@dataclass(frozen=True, slots=True)
class Decisions:
    """Stopping once the leader reaches a probability: mean questions put (undecided cases count with all of them),
    the share decided and the share right among those."""

    mean_questions: float
    decided: float
    right_when_decided: float

    @classmethod
    def mean(cls, several: Sequence[Decisions]) -> Decisions:
        """The mean over repetitions."""
        return cls(*map(fmean, zip(*map(astuple, several), strict=True)))


def decisions(steps: Floats, cases: LabelledCases, threshold: float) -> Decisions:
    """Decisions over probabilities [questions + 1, cases, hypotheses]."""
    sure = steps.max(axis=2) >= threshold
    decided = sure.any(axis=0)
    stop = np.where(decided, sure.argmax(axis=0), len(steps) - 1)
    leader = steps[stop, np.arange(len(stop))].argmax(axis=1)
    return Decisions(float(stop.mean()), float(decided.mean()), float((leader == cases.cause)[decided].mean()))
