"""How fast a pot loses water, learned from what its grower poured, refilled and weighed, by least squares.

A loss is taken as proportional to the drying power of the days it happened on. What is usual for the group and pot goes
in as a weak prior. Amounts are poured by eye and never to the same line, so each fill's error stands in the interval
before it and, with the other sign, in the one after it: generalised least squares knows that.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final, TypeVar

import numpy as np
from numpy.typing import NDArray

from diagnose.frozen import frozen
from diagnose.intake.records.pot_water import Pot
from diagnose.model.water import LossRules

__all__ = ["Filled", "Rate", "Weighed", "learned_rate", "usual_rate"]

ROUNDS: Final = 6  # the noise is a share of the amount expected, hence of the rate that is sought
NOISE_CASES: Final = 8.0  # the noise stated in the rule base counts like the residuals of so many amounts
LEAST_NOISE: Final = 1.0  # few amounts may agree by luck; that is no reason to trust them more than stated
PRIOR_STRETCH: Final = 2.0  # a pot that teaches may be further from the usual than one is ready to guess
STEEP: Final = 1e6  # variance of a full pot's unknown weight, g2: as good as any

Floats = NDArray[np.float64]


@frozen
class Filled:
    """``ml`` were needed to fill a pot again; since the fill before, days of ``drying_kpa`` together had passed.

    ``start`` and ``end`` number the two fills, ``start_measured`` tells whether the first of them was.
    """

    ml: float
    drying_kpa: float
    start: int
    end: int
    start_measured: bool = True


@frozen
class Weighed:
    """A pot's weight after days of ``drying_kpa`` together since it was filled; ``fill`` numbers that fill."""

    grams: float
    drying_kpa: float
    fill: int


@frozen
class Rate:
    """Millilitres lost a day for each kPa of drying power. ``spread``: standard deviation of its natural logarithm.

    ``fills`` and ``weighings`` say from how many it was learned; without any it is the usual one.
    """

    ml_per_kpa: float
    spread: float
    fills: int = 0
    weighings: int = 0

    @property
    def learned(self) -> bool:
        """Whether this pot's own log says anything."""
        return bool(self.fills or self.weighings)

    def within(self, spreads: float) -> tuple[float, float]:
        """The rate so many spreads lower and higher."""
        return self.ml_per_kpa * math.exp(-spreads * self.spread), self.ml_per_kpa * math.exp(spreads * self.spread)


Seen = TypeVar("Seen", Filled, Weighed)


def usual_rate(reference: Pot, pot_ml: float, gap_days: float, loss: LossRules) -> Rate:
    """The rate at which the group's usual gap uses up what may go from the usual pot of bark in moderate air.

    ``reference`` is that pot; the loss of other sizes goes with a power of their volume.
    """
    usual = reference.usable_ml * reference.may_use_share / (max(gap_days, 0.5) * loss.moderate_kpa)
    return Rate(usual * (pot_ml / loss.usual_pot_ml) ** loss.size_power, loss.prior_spread)


def learned_rate(
    usual: Rate, filled: Sequence[Filled], weighed: Sequence[Weighed], pot: Pot, loss: LossRules
) -> Rate:
    """The rate from the fills and weighings of one pot; the usual one where they teach nothing.

    Weights count from the second on, for the weight of the full pot has to be learned as well.
    """
    weighed = weighed if len({each.drying_kpa for each in weighed}) > 1 else ()
    if not filled and not weighed:
        return usual
    rate, spread = usual.ml_per_kpa, usual.spread
    for _ in range(ROUNDS):
        kept = _Evidence(_within(filled, rate, pot), _within(weighed, rate, pot))
        rate, spread = _solved(usual, kept, rate, pot, loss)
    return Rate(rate, spread, len(kept.filled), len(kept.weighed))


@frozen
class _Evidence:
    """What was seen of a pot that can tell its rate."""

    filled: Sequence[Filled]
    weighed: Sequence[Weighed]


def _within(found: Sequence[Seen], rate: float, pot: Pot) -> list[Seen]:
    """Those before which the pot cannot have run dry; all of them if it always did."""
    holds = pot.usable_ml + pot.reservoir_ml
    kept = [each for each in found if each.drying_kpa * rate <= holds]
    return kept or list(found)


def _solved(usual: Rate, seen: _Evidence, rate: float, pot: Pot, loss: LossRules) -> tuple[float, float]:
    """The rate and its spread by generalised least squares, the noise being that expected at ``rate``.

    The unknowns are the weight of the full pot and the rate.
    """
    told = np.array([each.ml for each in seen.filled] + [each.grams for each in seen.weighed])
    drying = np.array([each.drying_kpa for each in seen.filled] + [-each.drying_kpa for each in seen.weighed])
    heavy = np.array([0.0] * len(seen.filled) + [1.0] * len(seen.weighed))
    design = np.column_stack([heavy, drying])
    root = np.linalg.cholesky(_covariance(seen, rate, pot, loss))
    white, seen_white = np.linalg.solve(root, design), np.linalg.solve(root, told)
    full = float(np.mean([each.grams for each in seen.weighed])) if seen.weighed else 0.0
    prior = np.array([full, rate * (1.0 + math.log(usual.ml_per_kpa / rate))])  # of the logarithm, made straight
    trust = np.diag([1.0 / STEEP, 1.0 / (PRIOR_STRETCH * usual.spread * rate) ** 2])
    precision = white.T @ white + trust
    found = np.linalg.solve(precision, white.T @ seen_white + trust @ prior)
    rest = seen_white - white @ found
    noise = (NOISE_CASES + float(rest @ rest)) / (NOISE_CASES + len(told) - heavy.any())
    best = max(float(found[1]), usual.ml_per_kpa / 20)
    variance = max(noise, LEAST_NOISE) * float(np.linalg.inv(precision)[1, 1])
    return best, math.sqrt(variance) / best


def _covariance(seen: _Evidence, rate: float, pot: Pot, loss: LossRules) -> Floats:
    """Own errors on the diagonal, and the error of each fill shared by all that it touches."""
    level = (loss.level_noise * (pot.reservoir_ml or pot.usable_ml)) ** 2
    own = [(loss.amount_noise * each.drying_kpa * rate) ** 2 + (0.0 if each.start_measured else 3.0 * level) + 1.0
           for each in seen.filled]
    own += [loss.scale_noise_g ** 2] * len(seen.weighed)
    fills = sorted({each.start for each in seen.filled} | {each.end for each in seen.filled}
                   | {each.fill for each in seen.weighed})
    touched = np.zeros((len(own), len(fills)))
    for row, fill in enumerate(seen.filled):
        touched[row, fills.index(fill.end)] += 1.0
        touched[row, fills.index(fill.start)] -= 1.0
    for row, weighing in enumerate(seen.weighed, len(seen.filled)):
        touched[row, fills.index(weighing.fill)] += 1.0
    return np.asarray(np.diag(own) + level * touched @ touched.T, dtype=np.float64)
