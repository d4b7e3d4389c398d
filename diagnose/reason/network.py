"""The two-layer noisy-OR network of one case: causes above, signs below.

P(sign | causes) = 1 - (1 - background) * product of (1 - frequency) over the causes that hold and show it
(Pearl 1988, Probabilistic Reasoning in Intelligent Systems, section 4.3.2).
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from diagnose.frozen import frozen

__all__ = ["Floats", "Network", "Observed", "Places", "comparable"]

COMPARED_DIGITS = 12  # decimals

Floats = npt.NDArray[np.float64]
Places = npt.NDArray[np.intp]  # rows or columns of a table


@frozen
class Network:
    """``prior`` [causes], ``background`` [signs] and ``frequency`` [causes, signs], all probabilities.

    A frequency of 0 means no link. Priors and backgrounds lie strictly between 0 and 1.
    """

    prior: Floats
    background: Floats
    frequency: Floats

    def subset(self, present: tuple[int, ...]) -> tuple[int, ...]:
        """The causes that show at least one of the present signs, in order."""
        if not present:
            return ()
        return tuple(int(number) for number in np.flatnonzero(self.frequency[:, list(present)].any(axis=1)))


def comparable(figures: Floats) -> Floats:
    """Probabilities or bits without their last digits, which hang on the order in which they were summed up.

    Causes that the rules treat alike are then equally likely, and what is equal can keep the order of the rule base.
    """
    return np.round(figures, COMPARED_DIGITS)


@frozen
class Observed:
    """Columns of the signs seen to be present and seen to be absent."""

    present: tuple[int, ...]
    absent: tuple[int, ...]
