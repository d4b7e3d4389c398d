"""Does anything on the list fit? A check of the best explanation against what it would itself expect.

The surprise of the findings under the best set of causes, -log2 of their probability, is set against its expectation
there (the entropy of the same findings) and its spread: a set that would rarely look like this is probably not the
story, however far it leads the others. Beside it stand the odds that no cause switched on any sign at all.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np

from diagnose.frozen import frozen
from diagnose.reason.network import Network, Observed

__all__ = ["Surprise", "nothing_fits", "surprise_of"]

LEAST_CHANCE = 1e-12


@frozen
class Surprise:
    """Surprise at the findings under a set of causes, in bits: what it is, its mean there and its variance (bits²)."""

    bits: float
    expected_bits: float
    variance: float


def surprise_of(network: Network, observed: Observed, best: tuple[int, ...]) -> Surprise:
    """The surprise of the signs seen and not seen if just these causes hold; other signs have the background alone.

    Mean and variance are those of a sum over signs that are independent once the causes are known.
    """
    columns = list(observed.present + observed.absent)
    silent = (1.0 - network.background[columns]) * np.prod(1.0 - network.frequency[list(best)][:, columns], axis=0)
    shown = 1.0 - silent
    if_shown, if_silent = -np.log2(shown), -np.log2(silent)
    there = len(observed.present)
    return Surprise(float(if_shown[:there].sum() + if_silent[there:].sum()),
                    float((shown * if_shown + silent * if_silent).sum()),
                    float((shown * silent * (if_shown - if_silent) ** 2).sum()))


def nothing_fits(constants: Mapping[str, float], network: Network, observed: Observed, best: tuple[int, ...],
                 unaccounted: float) -> float:
    """The probability that no cause on the list accounts for what was seen; 1 where there is no best set.

    How strange the findings are is counted in standard deviations: (surprise - ``misfit_expected`` x expected surprise
    + ``misfit_unaccounted`` x log odds of ``unaccounted``) / root of (variance + ``misfit_spread_bits``²). The log odds
    of the result are ``misfit_weight`` bits for each by which that exceeds ``misfit_from``. ``unaccounted`` is the
    probability that no cause switched on a present sign. The constants are fitted on causes taken out of the rule base.
    """
    if not best:
        return 1.0
    surprise = surprise_of(network, observed, best)
    chance = min(max(unaccounted, LEAST_CHANCE), 1.0 - LEAST_CHANCE)
    excess_bits = (surprise.bits - constants["misfit_expected"] * surprise.expected_bits
                   + constants["misfit_unaccounted"] * math.log2(chance / (1.0 - chance)))
    strange = excess_bits / math.hypot(math.sqrt(surprise.variance), constants["misfit_spread_bits"])
    return 1.0 / (1.0 + math.exp2(min(1000.0, -constants["misfit_weight"] * (strange - constants["misfit_from"]))))
