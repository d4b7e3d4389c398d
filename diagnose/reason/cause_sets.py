"""Belief over whole sets of causes: for the best explanation, for questions, and where exact belief takes too long.

Sets of at most three causes are enumerated (larger ones by a beam); causes that show no present sign stay outside
the sets and only raise the background of the signs they could show.
"""

from __future__ import annotations

from functools import cache
from itertools import combinations

import numpy as np

from diagnose.frozen import frozen
from diagnose.reason.belief import Belief
from diagnose.reason.network import Floats, Network, Observed, comparable

__all__ = ["CauseSets", "best_explanation", "enumerate_sets", "from_sets", "search_sets"]

MOST_IN_SET = 3
MOST_CAUSES = 18  # causes that are combined freely, likeliest first
BEAM = 2000
DEEPEST = 8


@frozen
class CauseSets:
    """``members`` [sets, ``causes``] are 0/1, ``weight`` [sets] sums to 1; ``log_total`` is before normalising."""

    causes: tuple[int, ...]
    members: Floats
    weight: Floats
    log_total: float


def enumerate_sets(network: Network, observed: Observed, leading: tuple[int, ...] | None = None) -> CauseSets:
    """Every set of at most three of the leading causes (by default: those that show a present sign)."""
    chosen = (network.subset(observed.present) if leading is None else leading)[:MOST_CAUSES]
    return _weighed(network, observed, chosen, _patterns(len(chosen)))


@cache
def _patterns(count: int) -> Floats:
    """Every way of taking at most three of so many causes [sets, causes], 0/1."""
    return _rows([group for size in range(MOST_IN_SET + 1) for group in combinations(range(count), size)], count)


def search_sets(network: Network, observed: Observed) -> CauseSets:
    """A beam over growing sets of causes, for many present signs; approximate."""
    relevant = network.subset(observed.present)
    level: set[tuple[int, ...]] = {()}
    kept: set[tuple[int, ...]] = {()}
    for _ in range(min(DEEPEST, len(relevant))):
        grown = sorted({tuple(sorted({*group, cause})) for group in level for cause in range(len(relevant))
                        if cause not in group})
        scores = _log_weights(network, observed, relevant, _rows(grown, len(relevant)))
        level = {grown[int(row)] for row in np.argsort(-scores, kind="stable")[:BEAM // DEEPEST]}
        kept |= level
    return _weighed(network, observed, relevant, _rows(sorted(kept), len(relevant)))


def _rows(groups: list[tuple[int, ...]], width: int) -> Floats:
    members = np.zeros((len(groups), width))
    rows = [row for row, group in enumerate(groups) for _ in group]
    members[rows, [cause for group in groups for cause in group]] = 1.0
    return members


def _log_weights(network: Network, observed: Observed, causes: tuple[int, ...], members: Floats) -> Floats:
    chosen, present, absent = list(causes), list(observed.present), list(observed.absent)
    prior = network.prior[chosen]
    quiet = np.log1p(-network.frequency[np.ix_(chosen, absent)]).sum(axis=1)
    score = members @ (np.log(prior) - np.log1p(-prior) + quiet)
    if present:
        silent = members @ np.log1p(-network.frequency[np.ix_(chosen, present)])
        score = score + np.log(-np.expm1(silent + np.log1p(-network.background[present]))).sum(axis=1)
    return np.asarray(score, dtype=np.float64)


def _weighed(network: Network, observed: Observed, causes: tuple[int, ...], members: Floats) -> CauseSets:
    score = _log_weights(network, observed, causes, members)
    weight = np.exp(score - score.max())
    base = np.log1p(-network.prior).sum() + np.log1p(-network.background[list(observed.absent)]).sum()
    return CauseSets(causes, members, weight / weight.sum(), float(base + score.max() + np.log(weight.sum())))


def from_sets(network: Network, observed: Observed, sets: CauseSets) -> Belief:
    """Approximate posteriors from weighed sets, with the same meaning as the exact ones."""
    present = list(observed.present)
    quiet = np.log1p(-network.frequency[np.ix_(sets.causes, present)])
    silent = sets.members @ quiet + np.log1p(-network.background[present])[None, :]
    lit = np.log(-np.expm1(silent))
    accounts = np.zeros(len(network.prior))
    for cause, held, alone in zip(sets.causes, sets.members.T, quiet, strict=True):
        others = silent - alone[None, :]
        stayed_out = np.exp((alone[None, :] + np.log(np.maximum(-np.expm1(others), 1e-300)) - lit).sum(axis=1))
        accounts[cause] = float((sets.weight * held * (1.0 - stayed_out)).sum())
    unlit = np.exp(silent - np.log1p(-network.background[present])[None, :]) * network.background[present][None, :]
    unaccounted = float((sets.weight * np.exp((np.log(unlit) - lit).sum(axis=1))).sum())
    return Belief(accounts, _holds(network, observed, sets), unaccounted, sets.log_total)


def _holds(network: Network, observed: Observed, sets: CauseSets) -> Floats:
    """How likely each cause holds; one outside all sets is only moved by the signs it should have shown."""
    stay_off = np.log1p(-network.frequency[:, list(observed.absent)]).sum(axis=1)
    on = network.prior * np.exp(stay_off)
    holds = np.asarray(on / (on + 1.0 - network.prior), dtype=np.float64)
    holds[list(sets.causes)] = sets.weight @ sets.members
    return holds


def best_explanation(network: Network, observed: Observed, sets: CauseSets, companion_from: float) -> tuple[int, ...]:
    """At most three causes that together can show every present sign that any cause shows, likeliest first.

    First the likeliest cause; then the likeliest companion given what is chosen already, among the causes that show a
    sign still left and those whose chance then is at least ``companion_from``: two troubles can show the same sign.
    Empty where no cause shows a present sign.
    """
    shown = network.frequency[np.ix_(sets.causes, observed.present)] > 0
    left = shown.any(axis=0)
    chosen: list[int] = []
    while sets.causes and len(chosen) < MOST_IN_SET:
        together = sets.weight * sets.members[:, chosen].all(axis=1)
        chance = together @ sets.members
        likely = shown.any(axis=1) & (chance >= companion_from * together.sum()) if chosen else False
        chance = np.where(shown[:, left].any(axis=1) | likely, comparable(chance), -1.0)
        chance[chosen] = -1.0
        if chance.max() <= 0.0:
            break
        chosen.append(int(np.argmax(chance)))
        left &= ~shown[chosen[-1]]
    return tuple(sets.causes[place] for place in chosen)
