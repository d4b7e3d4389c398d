"""Labelled cases from outside: answers to questions, and the cause that was found."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

__all__ = ["UNKNOWN", "Ints", "LabelledCases", "Unavailable", "folds_of", "with_slips"]

Ints = npt.NDArray[np.int64]
UNKNOWN = -1


class Unavailable(Exception):
    """An outside set cannot be had here; the text says what is needed."""


@dataclass(frozen=True, slots=True)
class LabelledCases:
    """``answers`` [cases, questions] number the answers of each question, UNKNOWN where it was not answered.

    ``sizes`` are the numbers of possible answers, ``cause`` [cases] the number of the cause found.
    """

    causes: tuple[str, ...]
    sizes: tuple[int, ...]
    answers: Ints
    cause: Ints


def folds_of(cases: LabelledCases, folds: int, seed: int) -> Ints:
    """The fold of each case, every cause spread evenly over the folds, shuffled by the seed."""
    draw = np.random.default_rng(seed)
    shuffled = np.concatenate([draw.permutation(np.flatnonzero(cases.cause == cause))
                               for cause in range(len(cases.causes))])
    fold = np.empty(len(cases.cause), dtype=np.int64)
    fold[shuffled] = np.arange(len(shuffled)) % folds
    return fold


def with_slips(cases: LabelledCases, share: float, seed: int) -> LabelledCases:
    """The cases with a share of the answers replaced by another answer of the same question."""
    draw = np.random.default_rng(seed)
    step = np.array([draw.integers(1, size, len(cases.cause)) for size in cases.sizes]).T
    slipped = (draw.random(cases.answers.shape) < share) & (cases.answers != UNKNOWN)
    other = (cases.answers + step) % np.array(cases.sizes)[None, :]
    return replace(cases, answers=np.where(slipped, other, cases.answers))
