"""Which question to ask next: the largest expected fall in uncertainty about the causes, per effort.

All candidates are worked out in one batch from the weighted sets of causes of the current belief.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from diagnose.model.facts import State
from diagnose.model.knowledge import Question
from diagnose.reason.network import Floats
from diagnose.reason.rulebook import Rulebook
from diagnose.reason.standing import Standing

__all__ = ["Candidate", "answered", "candidates"]

KEPT_WEIGHT = 0.995
MOST_SETS = 200


@dataclass(frozen=True, slots=True)
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


def answered(standing: Standing) -> frozenset[str]:
    """Signs that are already settled, whatever was found."""
    return frozenset(seen.sign for seen in standing.case.signs if seen.state is not State.UNSURE)


def candidates(rulebook: Rulebook, standing: Standing, asked: frozenset[str] = frozenset()) -> list[Candidate]:
    """Questions not asked and not settled yet, the most worth asking first."""
    weight, shown = _predictions(rulebook, standing)
    single = _gains(weight, shown)
    settled = answered(standing)
    found = []
    for question in rulebook.base.questions.values():
        open_signs = [sign for sign in question.signs if sign not in settled]
        if question.id in asked or not open_signs:
            continue
        columns = [rulebook.sign_number[sign] for sign in open_signs]
        best = max(columns, key=lambda column: float(single[column]))
        if single[best] <= 0.0:
            continue
        gain = _question_gain(rulebook, question, weight, shown, single, columns)
        cost = rulebook.base.scales.effort[question.effort]
        found.append(Candidate(question, rulebook.signs[best], gain, cost))
    return sorted(found, key=lambda candidate: (-candidate.worth, candidate.question.id))


def _predictions(rulebook: Rulebook, standing: Standing) -> tuple[Floats, Floats]:
    """The weightiest sets of causes, and how likely each sign is under each of them [sets, signs]."""
    sets, network = standing.sets, standing.network
    order = np.argsort(-sets.weight, kind="stable")[:MOST_SETS]
    enough = int(np.searchsorted(np.cumsum(sets.weight[order]), KEPT_WEIGHT)) + 1
    order = order[:enough]
    members = sets.members[order]
    outside = ~sets.members.any(axis=0)
    quiet = np.log1p(-network.frequency)
    ground = np.log1p(-network.background) + np.log1p(
        -standing.belief.holds[outside, None] * network.frequency[outside]).sum(axis=0)
    weight = sets.weight[order] / sets.weight[order].sum()
    return weight, np.asarray(-np.expm1(members @ quiet + ground[None, :]), dtype=np.float64)


def _entropy(chance: Floats) -> Floats:
    safe = np.clip(chance, 1e-12, 1.0 - 1e-12)
    return np.asarray(-(safe * np.log2(safe) + (1.0 - safe) * np.log2(1.0 - safe)), dtype=np.float64)


def _gains(weight: Floats, shown: Floats) -> Floats:
    """Bits that seeing or not seeing each sign would tell about the causes."""
    gain = _entropy(weight @ shown) - weight @ _entropy(shown)
    return np.asarray(np.maximum(gain, 0.0), dtype=np.float64)


def _question_gain(rulebook: Rulebook, question: Question, weight: Floats, shown: Floats, single: Floats,
                   columns: list[int]) -> float:
    """Bits that the answer would tell; answers that can hold together count sign by sign, up to the whole doubt."""
    if question.several or len(columns) == 1:
        doubt = float(-(weight * np.log2(np.maximum(weight, 1e-300))).sum())
        return min(float(single[columns].sum()), doubt)
    chances = np.array([_answer_chance(rulebook, present, columns, shown)
                        for present in _exclusive_answers(rulebook, question, columns)]).T
    chances = chances / np.maximum(chances.sum(axis=1, keepdims=True), 1e-300)
    overall = weight @ chances
    within = -(chances * np.log2(np.maximum(chances, 1e-300))).sum(axis=1)
    return max(0.0, float(-(overall * np.log2(np.maximum(overall, 1e-300))).sum() - weight @ within))


def _exclusive_answers(rulebook: Rulebook, question: Question, columns: list[int]) -> list[frozenset[int]]:
    answers = {frozenset(rulebook.sign_number[sign] for sign in answer.present) & frozenset(columns)
               for answer in question.answers}
    return sorted(answers | {frozenset()}, key=sorted)


def _answer_chance(rulebook: Rulebook, present: frozenset[int], columns: list[int], shown: Floats) -> Floats:
    seen = [column for column in columns if column in present]
    implied = {rulebook.sign_number[parent] for column in seen for parent in rulebook.implied[rulebook.signs[column]]}
    unseen = [column for column in columns if column not in present and column not in implied]
    return np.asarray(shown[:, seen].prod(axis=1) * (1.0 - shown[:, unseen]).prod(axis=1), dtype=np.float64)
