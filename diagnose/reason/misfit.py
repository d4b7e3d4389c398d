"""Does anything on the list fit? A check of the best explanation against what it would itself expect.

The surprise of the findings under the best set of causes, -log2 of their probability, is set against its expectation
there, the entropy of the same findings: a set that would rarely look like this is probably not the story, however far
it leads the others. Beside it stand the odds that no cause switched on any sign at all.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from diagnose.reason.network import Network, Observed

__all__ = ["Surprise", "nothing_fits", "surprise_of"]

LEAST_CHANCE = 1e-12


@dataclass(frozen=True)
class Surprise:
    """Bits of surprise at the findings under a set of causes, and how many that set would expect on average."""

    bits: float
    expected_bits: float


def surprise_of(network: Network, observed: Observed, best: tuple[int, ...]) -> Surprise:
    """The surprise of the signs seen and not seen if just these causes hold; other signs have the background alone."""
    columns = list(observed.present + observed.absent)
    silent = (1.0 - network.background[columns]) * np.prod(1.0 - network.frequency[list(best)][:, columns], axis=0)
    shown = 1.0 - silent
    seen = np.arange(len(columns)) < len(observed.present)
    bits = -np.log2(np.where(seen, shown, silent))
    expected = -(shown * np.log2(shown) + silent * np.log2(silent))
    return Surprise(float(bits.sum()), float(expected.sum()))


def nothing_fits(constants: Mapping[str, float], network: Network, observed: Observed, best: tuple[int, ...],
                 unaccounted: float) -> float:
    """The probability that no cause on the list accounts for what was seen; 1 where there is no best set.

    Its log odds in bits: ``misfit_weight`` x (surprise - ``misfit_expected`` x expected surprise
    + ``misfit_unaccounted`` x log odds of ``unaccounted`` - ``misfit_bits``). ``unaccounted`` is the probability that
    no cause switched on a present sign. The constants are fitted on causes taken out of the rule base.
    """
    if not best:
        return 1.0
    surprise = surprise_of(network, observed, best)
    chance = min(max(unaccounted, LEAST_CHANCE), 1.0 - LEAST_CHANCE)
    odds_bits = math.log2(chance / (1.0 - chance))
    bits = (surprise.bits - constants["misfit_expected"] * surprise.expected_bits
            + constants["misfit_unaccounted"] * odds_bits - constants["misfit_bits"])
    return 1.0 / (1.0 + math.exp2(min(1000.0, -constants["misfit_weight"] * bits)))
