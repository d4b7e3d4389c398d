"""Words for strength and commonness, learned from labelled cases or taken from an expert's figures."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from diagnose.model.knowledge import Scales
from diagnose.reason.network import Floats
from tests.measure.outside_cases import UNKNOWN, Ints, LabelledCases

__all__ = ["UNLISTED", "Learned", "Shares", "counted", "in_numbers", "in_words"]

HALF_A_CASE = 0.5  # added to every count (the prior of Jeffreys), so that nothing seen is never "never"
UNLISTED = "rare"  # background of an answer that a cause does not list
SURE = 1e-6  # no share is nearer to 0 or 1


@dataclass(frozen=True, slots=True)
class Shares:
    """``prior`` [causes]; for each question the shares of its answers by cause [causes, answers] and overall."""

    prior: Floats
    tables: tuple[Floats, ...]
    overall: tuple[Floats, ...]


@dataclass(frozen=True, slots=True)
class Learned:
    """What a rule base would hold: priors [hypotheses] and, for each question, frequencies [hypotheses, answers].

    The last hypothesis is "none of these", which answers as plants do overall. A frequency of 0 is no link: then
    the answer is as rare as its ``background``. ``usual`` is the commonest answer of each question.
    """

    prior: Floats
    frequency: tuple[Floats, ...]
    background: float
    usual: tuple[int, ...]

    @property
    def chances(self) -> tuple[Floats, ...]:
        """For each question, how likely each answer is [hypotheses, answers], scaled to one answer in all."""
        return tuple(shown / shown.sum(axis=1, keepdims=True) for shown in self._shown())

    @property
    def departure_chances(self) -> tuple[Floats, ...]:
        """The same where the usual answer is no sign: it is given when no sign of the question is there."""
        odds = [shown / (1.0 - shown) for shown in self._shown()]
        for table, usual in zip(odds, self.usual, strict=True):
            table[:, usual] = 1.0
        return tuple(table / table.sum(axis=1, keepdims=True) for table in odds)

    def _shown(self) -> list[Floats]:
        return [1.0 - (1.0 - self.background) * (1.0 - frequency) for frequency in self.frequency]


def counted(cases: LabelledCases, rows: Ints) -> Shares:
    """The shares among some of the cases. A question never answered for a cause takes the overall share."""
    cause = cases.cause[rows]
    prior = np.bincount(cause, minlength=len(cases.causes)) / len(rows)
    tables, overall = [], []
    for question, size in enumerate(cases.sizes):
        answers = cases.answers[rows, question]
        given = answers != UNKNOWN
        counts = np.zeros((len(cases.causes), size))
        np.add.at(counts, (cause[given], answers[given]), 1.0)
        everyone = counts.sum(axis=0) + HALF_A_CASE
        everyone /= everyone.sum()
        smooth = (counts + HALF_A_CASE) / (counts.sum(axis=1, keepdims=True) + size * HALF_A_CASE)
        tables.append(np.where(counts.any(axis=1, keepdims=True), smooth, everyone))
        overall.append(everyone)
    return Shares(prior, tuple(tables), tuple(overall))


def in_words(shares: Shares, scales: Scales, unlisted: str = UNLISTED) -> Learned:
    """The shares as the words of the scales: only the numbers behind the words are kept.

    A link takes the word under which the counted answers are likeliest, or no link where the background is likelier
    still. A cause takes the word nearest to its share, on a logarithmic scale that gives the commonest cause the
    top word; "none of these" takes the rarest.
    """
    background = scales.background[unlisted]
    words = np.array([0.0, *scales.how_often.values()])
    shown = 1.0 - (1.0 - background) * (1.0 - words)
    common = np.array(list(scales.how_common.values()))
    told = np.log(shares.prior / shares.prior.max() * common.max())
    nearest = np.abs(told[:, None] - np.log(common)[None, :]).argmin(axis=1)
    return Learned(
        prior=np.append(common[nearest], common.min()),
        frequency=tuple(words[_likeliest(table, shown)] for table in _with_none(shares)),
        background=background,
        usual=_usual(shares),
    )


def in_numbers(shares: Shares, scales: Scales) -> Learned:
    """The shares themselves, to compare the words with."""
    rarest = min(scales.how_common.values())
    return Learned(
        prior=np.append(shares.prior, rarest) / (1.0 + rarest),
        frequency=_with_none(shares),
        background=SURE,
        usual=_usual(shares),
    )


def _with_none(shares: Shares) -> tuple[Floats, ...]:
    return tuple(np.clip(np.vstack([table, everyone]), SURE, 1.0 - SURE)
                 for table, everyone in zip(shares.tables, shares.overall, strict=True))


def _likeliest(table: Floats, shown: Floats) -> Ints:
    share = table[:, :, None]
    return np.asarray((share * np.log(shown) + (1.0 - share) * np.log1p(-shown)).argmax(axis=2), dtype=np.int64)


def _usual(shares: Shares) -> tuple[int, ...]:
    return tuple(int(everyone.argmax()) for everyone in shares.overall)
