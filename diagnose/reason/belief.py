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

Links = list[tuple[int, float]]  # of a cause: places of present signs that it shows, each with the chance


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
    links = [[(bit, chance) for bit, chance in enumerate(row) if chance]
             for row in network.frequency[np.ix_(relevant, observed.present)].tolist()]
    quiet = np.array([math.prod(1.0 - chance for _, chance in link) for link in links])[:, None]
    odds, rows = (on / off).T[list(relevant)], list(relevant)
    forward = _forward(start, odds, links)
    backward, pulled = _backward(start, odds, links, quiet)
    total = forward[-1, :, -1]
    accounts, holds = np.zeros_like(on), on / (on + off)
    accounts.T[rows] = odds * (forward[:-1] * pulled).sum(axis=2) / total
    holds.T[rows] = accounts.T[rows] + odds * quiet * (forward[:-1] * backward[1:]).sum(axis=2) / total
    silent = (1.0 + odds * quiet).prod(axis=0) * start[:, -1] / total
    factors = on + off
    factors[:, rows] = off[:, rows]
    evidence = np.log(total) + np.log(factors).sum(axis=1) + log_background
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


def _forward(start: Floats, odds: Floats, links: Sequence[Links]) -> Floats:
    """The mass [causes + 1, variants, subsets] before each cause had its turn and after the last.

    That of a cause which does not hold is put to 1, so that one which holds counts by its odds.
    """
    mass = np.empty((len(links) + 1, *start.shape))
    mass[0] = start
    halves = _halves(mass)
    for number, link in enumerate(links):
        before, now = mass[number], mass[number + 1]
        np.multiply(odds[number, :, None], before, out=now)
        for bit, chance in link:
            off, on = halves[bit][0][number + 1], halves[bit][1][number + 1]
            on += chance * off
            off *= 1.0 - chance
        now += before
    return mass


def _backward(start: Floats, odds: Floats, links: Sequence[Links], quiet: Floats) -> tuple[Floats, Floats]:
    """The mass with which all present signs come on in the end [causes + 1, variants, subsets], from what is on before
    each cause; and the same [causes, variants, subsets] if that cause holds and switches on at least one of them."""
    after, pulled = np.empty((len(links) + 1, *start.shape)), np.zeros((len(links), *start.shape))
    after[-1] = 0.0
    after[-1, :, -1] = 1.0
    halves, pulled_halves = _halves(after), _halves(pulled)
    kept = (1.0 + odds * quiet)[:, :, None]
    for number in range(len(links) - 1, -1, -1):
        silent = 1.0  # the chance that it switched on none of its signs so far
        for bit, chance in links[number]:
            off, on = pulled_halves[bit][0][number], pulled_halves[bit][1][number]
            first = (silent * chance) * halves[bit][1][number + 1]
            if silent < 1.0:  # else nothing is there yet
                off *= 1.0 - chance
                off += chance * on
            off += first
            on += first
            silent *= 1.0 - chance
        np.multiply(kept[number], after[number + 1], out=after[number])
        after[number] += odds[number, :, None] * pulled[number]
    return after, pulled


def _halves(mass: Floats) -> list[tuple[Floats, Floats]]:
    """For each present sign the mass where it is off and where it is on, as views [..., higher bits, lower bits]."""
    *outer, subsets = mass.shape
    cells = [mass.reshape(*outer, subsets >> (bit + 1), 2, 1 << bit) for bit in range(subsets.bit_length() - 1)]
    return [(cell[..., 0, :], cell[..., 1, :]) for cell in cells]


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
