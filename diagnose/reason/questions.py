"""Which question to ask next: the largest expected fall in uncertainty about the causes, per effort.

All candidates are worked out in one batch: every possible answer of every open question under every hypothesis of
the current belief (weighted sets of causes; single causes while no sign is seen).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from diagnose.frozen import frozen
from diagnose.model.facts import Origin, State
from diagnose.model.knowledge import Answer, Question
from diagnose.reason.belief import single_cause
from diagnose.reason.network import Floats, Places, comparable
from diagnose.reason.rulebook import Rulebook
from diagnose.reason.standing import Standing

__all__ = ["Candidate", "answer_chances", "answered", "bits_told", "candidates", "open_answers", "open_signs"]

KEPT_WEIGHT = 0.995
MOST_SETS = 200
MOST_COMBINED = 7  # signs of one question whose combinations are told apart: 128 outcomes


@frozen
class Candidate:
    """A question with its expected gain in bits, the sign it tells most about, and its effort."""

    question: Question
    sign: str
    gain_bits: float
    cost: float

    @property
    def worth(self) -> float:
        """Bits per unit of effort."""
        return self.gain_bits / self.cost


def answered(rulebook: Rulebook, standing: Standing) -> frozenset[str]:
    """Signs that need not be asked for: settled, implied by one that is there, or looked for without an answer."""
    told = {seen.sign for seen in standing.case.signs
            if seen.state is not State.UNSURE or seen.origin is Origin.ANSWER}
    present = {seen.sign for seen in standing.case.signs if seen.state is State.PRESENT}
    return frozenset(told).union(*(rulebook.implied.get(sign, ()) for sign in present))


def open_signs(question: Question, settled: frozenset[str]) -> tuple[str, ...]:
    """The signs of a question that are not settled yet."""
    return tuple(sign for sign in question.signs if sign not in settled)


def open_answers(question: Question, settled: frozenset[str]) -> tuple[Answer, ...]:
    """The answers that would still tell something: a sign not settled yet, or that all is well."""
    return tuple(answer for answer in question.answers
                 if answer.healthy or not settled.issuperset(answer.present + answer.absent))


def answer_chances(rulebook: Rulebook, standing: Standing, question: Question) -> Mapping[str, float]:
    """How likely each open answer is, by its words; answers that can hold together do not add up to 1."""
    weight, shown = _predictions(rulebook, standing)
    settled = answered(rulebook, standing)
    columns = [rulebook.sign_number[sign] for sign in open_signs(question, settled)]
    chances = {}
    for answer in open_answers(question, settled):
        present = frozenset(rulebook.sign_number[sign] for sign in answer.present) & frozenset(columns)
        others = columns if not question.several or answer.healthy else sorted(present)
        chances[answer.say] = float(weight @ _answer_chance(rulebook, present, others, shown))
    return chances


def candidates(rulebook: Rulebook, standing: Standing, asked: frozenset[str] = frozenset()) -> list[Candidate]:
    """Questions not asked and not settled yet, the most worth asking first."""
    weight, shown = _predictions(rulebook, standing)
    doubt = weight @ _entropy(shown)
    minus_single = (-comparable(np.maximum(_entropy(weight @ shown) - doubt, 0.0))).tolist()
    settled = {rulebook.sign_number[sign] for sign in answered(rulebook, standing) if sign in rulebook.sign_number}
    open_: list[tuple[Question, list[int]]] = []
    for question in rulebook.base.questions.values():
        columns = sorted([column for column in rulebook.columns[question.id] if column not in settled],
                         key=minus_single.__getitem__)
        if question.id not in asked and columns and minus_single[columns[0]] < 0.0:
            open_.append((question, columns))
    gains = comparable(_gains(rulebook, open_, weight, shown, doubt))
    found = [Candidate(question, rulebook.signs[columns[0]], float(gain), rulebook.base.scales.effort[question.effort])
             for (question, columns), gain in zip(open_, gains, strict=True)]
    return sorted(found, key=lambda candidate: (-candidate.worth, candidate.question.id))


def _predictions(rulebook: Rulebook, standing: Standing) -> tuple[Floats, Floats]:
    """The weightiest hypotheses, and how likely each sign is under each of them [hypotheses, signs]."""
    network = standing.network
    if standing.observed.present:
        sets, members, causes = standing.sets.weight, standing.sets.members, list(standing.sets.causes)
    else:
        sets, causes = single_cause(network, standing.observed), list(range(len(rulebook.causes)))
        members = np.eye(len(sets), len(causes))
    order = np.argsort(-comparable(sets), kind="stable")[:MOST_SETS]
    order = order[:int(np.searchsorted(np.cumsum(sets[order]), KEPT_WEIGHT)) + 1]
    outside = np.ones(len(rulebook.causes), dtype=bool)
    outside[causes] = False
    ground = np.log(1.0 - network.background) + np.log(
        1.0 - standing.belief.holds[outside, None] * network.frequency[outside]).sum(axis=0)
    quiet = members[order] @ np.log(1.0 - network.frequency[causes])
    return sets[order] / sets[order].sum(), np.asarray(-np.expm1(quiet + ground[None, :]), dtype=np.float64)


def _entropy(chance: Floats) -> Floats:
    """Bits of doubt whether each sign is there."""
    safe = np.clip(chance, 1e-12, 1.0 - 1e-12)
    return np.asarray(-(safe * np.log2(safe) + (1.0 - safe) * np.log2(1.0 - safe)), dtype=np.float64)


def _times_log2(chance: Floats) -> Floats:
    return np.asarray(chance * np.log2(np.maximum(chance, 1e-300)), dtype=np.float64)


def bits_told(weight: Floats, outcomes: Sequence[Floats]) -> Floats:
    """Mutual information, in bits, between the hypotheses and the outcome of each question.

    ``outcomes`` holds a table [hypotheses, outcomes] of probabilities for each question; rows sum to 1.
    """
    table = np.concatenate(outcomes, axis=1)
    overall = weight @ table
    told = weight @ _times_log2(table) - _times_log2(overall)
    starts = np.cumsum([0, *(outcome.shape[1] for outcome in outcomes[:-1])])
    return np.asarray(np.maximum(np.add.reduceat(told, starts), 0.0), dtype=np.float64)


def _gains(rulebook: Rulebook, asked: Sequence[tuple[Question, list[int]]], weight: Floats, shown: Floats,
           doubt: Floats) -> Floats:
    """Bits that the answer to each question would tell. Questions of as many free signs are worked out in one table."""
    found = np.zeros(len(asked))
    free: dict[int, list[int]] = {}
    exclusive: list[int] = []
    for number, (question, columns) in enumerate(asked):
        if question.several or len(columns) == 1:
            free.setdefault(min(len(columns), MOST_COMBINED), []).append(number)
        else:
            exclusive.append(number)
    for count, numbers in free.items():
        found[numbers] = _bits_of_free(np.array([asked[number][1][:count] for number in numbers]), weight, shown, doubt)
    if exclusive:
        found[exclusive] = bits_told(weight, [_exclusive(rulebook, *asked[number], shown) for number in exclusive])
    return np.asarray(np.maximum(found, 0.0), dtype=np.float64)


def _bits_of_free(columns: Places, weight: Floats, shown: Floats, doubt: Floats) -> Floats:
    """Bits told by questions of which any signs can hold together, their columns as [questions, signs].

    Under known causes the signs are independent, so the doubt that is left then is the sum of theirs.
    """
    chance = shown.T[columns]
    table = np.ones((1, len(columns), len(weight)))
    for sign in range(columns.shape[1]):
        there = chance[:, sign]
        table = np.concatenate([table * (1.0 - there), table * there])
    overall = table @ weight
    return np.asarray(-_times_log2(overall).sum(axis=0) - doubt[columns].sum(axis=1), dtype=np.float64)


def _exclusive(rulebook: Rulebook, question: Question, columns: list[int], shown: Floats) -> Floats:
    """Probabilities of the answers of a question of which one holds [hypotheses, answers]."""
    chances = np.array([_answer_chance(rulebook, present, columns, shown)
                        for present in _exclusive_answers(rulebook, question, columns)]).T
    return np.asarray(chances / np.maximum(chances.sum(axis=1, keepdims=True), 1e-300), dtype=np.float64)


def _exclusive_answers(rulebook: Rulebook, question: Question, columns: list[int]) -> list[frozenset[int]]:
    answers = {frozenset(rulebook.sign_number[sign] for sign in answer.present) & frozenset(columns)
               for answer in question.answers}
    return sorted(answers | {frozenset()}, key=sorted)


def _answer_chance(rulebook: Rulebook, present: frozenset[int], columns: list[int], shown: Floats) -> Floats:
    seen = [column for column in columns if column in present]
    implied = {rulebook.sign_number[parent] for column in seen for parent in rulebook.implied[rulebook.signs[column]]}
    unseen = [column for column in columns if column not in present and column not in implied]
    chance = np.ones(len(shown))
    for column in seen:
        chance *= shown[:, column]
    for column in unseen:
        chance *= 1.0 - shown[:, column]
    return chance
