"""Exact belief in a noisy-OR network by a recursion over subsets of the present signs.

Cause by cause, the mass over "which present signs are on so far" is carried forward, and one backward sweep gives
every posterior. Only positive terms are added, so no digits are lost; the cost is 2^present signs x links. Signs
seen to be absent cost nothing: they fold into the priors.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from diagnose.frozen import frozen
from diagnose.reason.network import Floats, Network, Observed

__all__ = ["MOST_EXACT", "Belief", "Variant", "believe", "believe_variants", "damping_factor",
           "single_cause", "single_scores"]

MOST_EXACT = 16  # present signs; above it the subset recursion takes too long
MOST_CELLS = 4_000_000  # numbers held at once by a batch of variants


@frozen
class Variant:
    """What is left out of the observed signs: columns of present and of absent signs.

    A present sign left out is no evidence any more; a cause still accounts for it if it would switch it on.
    """

    without_present: tuple[int, ...] = ()
    without_absent: tuple[int, ...] = ()


@frozen
class Belief:
    """Posteriors [causes]: ``accounts`` = the cause holds and switched on a present sign, ``holds`` = it holds.

    ``unaccounted`` is the probability that no cause switched on any present sign. ``log_evidence`` is the natural
    logarithm of the probability of everything observed.
    """

    accounts: Floats
    holds: Floats
    unaccounted: float
    log_evidence: float

    def accounts_with_odds(self, cause: int, factor: float) -> float:
        """The ``accounts`` probability of a cause if its prior odds were multiplied by ``factor`` (exact)."""
        on, some = float(self.holds[cause]) * factor, float(self.accounts[cause]) * factor
        return some / (on + 1.0 - float(self.holds[cause]))


def believe(network: Network, observed: Observed) -> Belief:
    """The exact posterior. Raises ValueError above 16 present signs."""
    return believe_variants(network, observed, [Variant()])[0]


def believe_variants(network: Network, observed: Observed, variants: Sequence[Variant]) -> list[Belief]:
    """The exact posterior for each variant of what was observed, in one batch where memory allows."""
    if len(observed.present) > MOST_EXACT:
        raise ValueError(f"{len(observed.present)} present signs are more than {MOST_EXACT}")
    relevant = network.subset(observed.present)
    cells = max(1, (len(relevant) + 1) * 2 ** len(observed.present))
    size = max(1, MOST_CELLS // cells)
    return [belief for start in range(0, len(variants), size)
            for belief in _batch(network, observed, relevant, variants[start:start + size])]


def _batch(network: Network, observed: Observed, relevant: tuple[int, ...],
           variants: Sequence[Variant]) -> list[Belief]:
    on, off, log_background = _folded(network, observed, variants)
    start = _start(network, observed, variants)
    shown = network.frequency[np.ix_(relevant, observed.present)].tolist()
    links = [[(bit, chance) for bit, chance in enumerate(row) if chance] for row in shown]
    forward = [start]
    for number, cause in enumerate(relevant):
        switched = _apply(forward[-1], links[number])
        forward.append(off[:, cause, None] * forward[-1] + on[:, cause, None] * switched)
    total = forward[-1][:, -1]
    accounts = np.zeros_like(on)
    holds = on / (on + off)
    backward = np.zeros_like(start)
    backward[:, -1] = 1.0
    for number in range(len(relevant) - 1, -1, -1):
        cause, before = relevant[number], forward[number]
        none, some = _split(before, links[number])
        accounts[:, cause] = on[:, cause] * (some * backward).sum(axis=1) / total
        holds[:, cause] = accounts[:, cause] + on[:, cause] * (none * backward).sum(axis=1) / total
        pulled = _apply_back(backward, links[number])
        backward = off[:, cause, None] * backward + on[:, cause, None] * pulled
    silent = _unaccounted(on, off, relevant, links, start) / total
    aside = np.ones(on.shape[1], dtype=bool)
    aside[list(relevant)] = False
    others = (on + off)[:, aside]
    evidence = np.log(total) + np.log(others).sum(axis=1) + log_background
    return [Belief(accounts[n], holds[n], float(silent[n]), float(evidence[n])) for n in range(len(variants))]


def _folded(network: Network, observed: Observed, variants: Sequence[Variant]) -> tuple[Floats, Floats, Floats]:
    """Weights [variants, causes] of holding and not holding after the absent signs, and their log background."""
    kept = np.array([[sign not in variant.without_absent for sign in observed.absent] for variant in variants],
                    dtype=np.float64).reshape(len(variants), len(observed.absent))
    columns = list(observed.absent)
    stay_off = kept @ np.log1p(-network.frequency[:, columns]).T if columns else np.zeros((len(variants), 1))
    on = network.prior[None, :] * np.exp(stay_off)
    off = np.repeat(1.0 - network.prior[None, :], len(variants), axis=0)
    return on, off, np.asarray(kept @ np.log1p(-network.background[columns]), dtype=np.float64)


def _start(network: Network, observed: Observed, variants: Sequence[Variant]) -> Floats:
    """Mass over the present signs switched on by background alone; a sign left out counts as on."""
    mass = np.ones((len(variants), 1))
    for sign in observed.present:
        chance = np.array([1.0 if sign in variant.without_present else float(network.background[sign])
                           for variant in variants])[:, None]
        mass = np.concatenate([mass * (1.0 - chance), mass * chance], axis=1)
    return mass


def _halves(mass: Floats, bit: int) -> Floats:
    return mass.reshape(mass.shape[0], -1, 2, 1 << bit)


def _apply(mass: Floats, links: list[tuple[int, float]]) -> Floats:
    result = mass.copy()
    for bit, chance in links:
        cells = _halves(result, bit)
        cells[:, :, 1] += chance * cells[:, :, 0]
        cells[:, :, 0] *= 1.0 - chance
    return result


def _split(mass: Floats, links: list[tuple[int, float]]) -> tuple[Floats, Floats]:
    """The mass after a cause that holds: where it switched on no present sign, and where at least one."""
    none, some = mass, np.zeros_like(mass)
    for number, (bit, chance) in enumerate(links):
        if number:  # nothing is on before the first
            some = _apply(some, [(bit, chance)])
        cells = _halves(none, bit)
        _halves(some, bit)[:, :, 1] += chance * (cells[:, :, 0] + cells[:, :, 1])
        none = none * (1.0 - chance)
    return none, some


def _apply_back(mass: Floats, links: list[tuple[int, float]]) -> Floats:
    result = mass.copy()
    for bit, chance in links:
        cells = _halves(result, bit)
        cells[:, :, 0] = (1.0 - chance) * cells[:, :, 0] + chance * cells[:, :, 1]
    return result


def _unaccounted(on: Floats, off: Floats, relevant: tuple[int, ...], links: list[list[tuple[int, float]]],
                 start: Floats) -> Floats:
    quiet = np.array([math.prod(1.0 - chance for _, chance in link) for link in links])
    factors = off[:, relevant] + on[:, relevant] * quiet[None, :] if relevant else np.ones((len(start), 1))
    return np.asarray(factors.prod(axis=1) * start[:, -1], dtype=np.float64)


def single_scores(network: Network, observed: Observed) -> Floats:
    """Log weights [causes + 1] of each cause holding alone, and of none, relative to none and no evidence."""
    quiet = np.log1p(-network.frequency)
    silent = np.vstack([quiet, np.zeros(quiet.shape[1])]) + np.log1p(-network.background)[None, :]
    score = _single_priors(network)
    if observed.absent:
        score = score + silent[:, list(observed.absent)].sum(axis=1)
    if observed.present:
        score = score + np.log(-np.expm1(silent[:, list(observed.present)])).sum(axis=1)
    return np.asarray(score, dtype=np.float64)


def _single_priors(network: Network) -> Floats:
    return np.append(np.log(network.prior) - np.log1p(-network.prior), 0.0)


def single_cause(network: Network, observed: Observed, damping: float = 1.0) -> Floats:
    """Posterior [causes + 1] when at most one cause holds; the last entry is "none of these".

    ``damping`` in (0, 1] multiplies log(posterior odds / prior odds) of each cause against none; 1 is exact.
    """
    prior = _single_priors(network)
    score = prior + damping * (single_scores(network, observed) - prior)
    weights = np.exp(score - score.max())
    return np.asarray(weights / weights.sum(), dtype=np.float64)


def damping_factor(findings: int, damping_from: float, damping_power: float) -> float:
    """What log evidence is multiplied by where many, hence correlated, findings speak; 1 up to ``damping_from``.

    min(1, (damping_from / findings) ** damping_power).
    """
    return min(1.0, math.pow(damping_from / max(1, findings), damping_power))
