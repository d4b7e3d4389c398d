"""The few formulas of statistics that the desk needs, in plain Python."""

from __future__ import annotations

import math
from collections.abc import Sequence

__all__ = ["binomial_tail", "brier", "expected_calibration_error", "updated_share", "wilson"]

Z_95 = 1.959964


def wilson(hits: int, of: int, z: float = Z_95) -> tuple[float, float]:
    """The interval of Wilson (1927) for a share; (0, 1) where nothing was counted. ``z`` 1.959964 gives 95 %."""
    if of == 0:
        return 0.0, 1.0
    share, square = hits / of, z * z
    middle = share + square / (2 * of)
    half = z * math.sqrt(share * (1 - share) / of + square / (4 * of * of))
    scale = 1 + square / of
    return max(0.0, (middle - half) / scale), min(1.0, (middle + half) / scale)


def binomial_tail(hits: int, of: int, chance: float) -> float:
    """The probability of at least so many hits in ``of`` independent trials, each with this chance."""
    if hits <= 0:
        return 1.0
    if hits > of or chance <= 0.0:
        return 0.0
    if chance >= 1.0:
        return 1.0
    logs = [_log_term(k, of, chance) for k in range(hits, of + 1)]
    most = max(logs)
    return min(1.0, math.exp(most) * math.fsum(math.exp(value - most) for value in logs))


def _log_term(hits: int, of: int, chance: float) -> float:
    ways = math.lgamma(of + 1) - math.lgamma(hits + 1) - math.lgamma(of - hits + 1)
    return ways + hits * math.log(chance) + (of - hits) * math.log1p(-chance)


def updated_share(share: float, weight: float, hits: float, of: float) -> float:
    """The mean of the Beta posterior: a prior share that counts for ``weight`` cases, then hits among ``of`` cases.

    Over causes that exclude each other this is the Dirichlet rule; here several causes can hold at once, so each
    has a Beta of its own.
    """
    return (share * weight + hits) / (weight + of) if weight + of > 0 else share


def brier(forecasts: Sequence[tuple[float, bool]]) -> float:
    """Mean squared distance of forecasts from what happened (Brier 1950, the one-sided form); 0 is best."""
    return math.fsum((chance - happened) ** 2 for chance, happened in forecasts) / len(forecasts)


def expected_calibration_error(bands: Sequence[tuple[int, float, float]]) -> float:
    """Mean distance between mean forecast and observed share over bands of (count, mean forecast, observed share)."""
    counted = sum(count for count, _, _ in bands)
    return math.fsum(count * abs(said - seen) for count, said, seen in bands) / counted if counted else 0.0
