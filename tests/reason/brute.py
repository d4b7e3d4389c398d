"""Noisy-OR networks reckoned the long way: every set of causes, every switch of every link, one by one."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal, localcontext
from itertools import combinations

import numpy as np

from diagnose.reason.belief import Variant
from diagnose.reason.network import Floats, Network, Observed


def random_network(rng: np.random.Generator, causes: int, signs: int, *, links: float = 0.6,
                   rare: bool = False) -> Network:
    """Priors, backgrounds and about this share of all possible links, each strictly between 0 and 1."""
    prior = rng.uniform(0.002, 0.03, causes) if rare else rng.uniform(0.02, 0.7, causes)
    frequency = np.where(rng.random((causes, signs)) < links, rng.uniform(0.05, 0.95, (causes, signs)), 0.0)
    return Network(prior, rng.uniform(0.005, 0.2, signs), frequency)


def random_observed(rng: np.random.Generator, signs: int, present: int, absent: int) -> Observed:
    """Some signs seen and some seen to be absent, the rest not looked at."""
    order = [int(sign) for sign in rng.permutation(signs)]
    return Observed(tuple(sorted(order[:present])), tuple(sorted(order[present:present + absent])))


def sample_observed(rng: np.random.Generator, network: Network, present: int, absent: int) -> Observed:
    """Signs as the network itself would show them: drawn until there are enough of both kinds."""
    while True:
        held = rng.random(len(network.prior)) < network.prior
        silent = np.prod(1.0 - network.frequency[held], axis=0) * (1.0 - network.background)
        shown = rng.random(len(silent)) >= silent
        on, off = np.flatnonzero(shown), np.flatnonzero(~shown)
        if len(on) >= present and len(off) >= absent:
            chosen = rng.choice(on, present, replace=False), rng.choice(off, absent, replace=False)
            return Observed(tuple(sorted(int(n) for n in chosen[0])), tuple(sorted(int(n) for n in chosen[1])))


@dataclass(frozen=True)
class Answer:
    """What the long way comes to, in the terms of ``Belief``."""

    accounts: Floats
    holds: Floats
    unaccounted: float
    evidence: float


def by_switches(network: Network, observed: Observed, variant: Variant | None = None) -> Answer:
    """Sum over causes, switches of links to present signs, and background of present signs.

    A link's switch is on with its frequency; a present sign is on where its background or a switch of a cause that
    holds is on. A sign left out by the variant need not be on, yet a cause accounts for it if its switch is on.
    """
    variant = variant or Variant()
    needed = [sign for sign in observed.present if sign not in variant.without_present]
    links = [(c, s) for c in range(len(network.prior)) for s in observed.present if network.frequency[c, s] > 0]
    chances = [*network.prior, *(network.frequency[link] for link in links), *network.background[needed]]
    count, causes = len(chances), len(network.prior)
    bits = ((np.arange(2**count)[:, None] >> np.arange(count)) & 1).astype(bool)
    weight = np.where(bits, np.array(chances), 1.0 - np.array(chances)).prod(axis=1)
    holds, effective = bits[:, :causes], {link: bits[:, link[0]] & bits[:, causes + n] for n, link in enumerate(links)}
    for place, sign in enumerate(needed):
        on = bits[:, causes + len(links) + place].copy()
        for link, active in effective.items():
            if link[1] == sign:
                on |= active
        weight = weight * on
    for sign in observed.absent:
        if sign not in variant.without_absent:
            weight = weight * (1.0 - network.background[sign])
            weight = weight * np.where(holds, 1.0 - network.frequency[:, sign], 1.0).prod(axis=1)
    total = float(weight.sum())
    account = np.zeros((len(bits), causes), dtype=bool)
    for link, active in effective.items():
        account[:, link[0]] |= active
    return Answer(weight @ account / total, weight @ holds / total,
                  float(weight @ ~account.any(axis=1)) / total, total)


def set_weight(network: Network, observed: Observed, group: tuple[int, ...]) -> float:
    """Probability that exactly these causes hold and all that was observed is so."""
    weight = 1.0
    for cause, prior in enumerate(network.prior):
        weight *= prior if cause in group else 1.0 - prior
    for sign in (*observed.present, *observed.absent):
        silent = 1.0 - network.background[sign]
        for cause in group:
            silent *= 1.0 - network.frequency[cause, sign]
        weight *= 1.0 - silent if sign in observed.present else silent
    return float(weight)


def groups(causes: tuple[int, ...], largest: int) -> Iterator[tuple[int, ...]]:
    """Every set of at most so many of the causes, the empty one included."""
    for size in range(largest + 1):
        yield from combinations(causes, size)


def in_decimals(network: Network, observed: Observed, digits: int = 80) -> Answer:
    """By inclusion and exclusion over the present signs (Heckerman 1989, "A tractable inference algorithm for
    diagnosing multiple diseases"), in so many decimal digits, since the alternating sum cancels."""
    with localcontext() as context:
        context.prec = digits
        prior = [Decimal(float(p)) for p in network.prior]
        keep = [[1 - Decimal(float(f)) for f in row] for row in network.frequency]
        quiet = [1 - Decimal(float(b)) for b in network.background]
        causes = range(len(prior))
        stays_off = [_product(keep[c][s] for s in observed.absent) for c in causes]
        all_quiet = [_product(keep[c][s] for s in observed.present) for c in causes]
        lit = _product(1 - quiet[s] for s in observed.present)
        total, holds, silent = Decimal(0), [Decimal(0)] * len(prior), [Decimal(0)] * len(prior)
        for subset in groups(observed.present, len(observed.present)):
            on = [prior[c] * stays_off[c] * _product(keep[c][s] for s in subset) for c in causes]
            factors = [on[c] + 1 - prior[c] for c in causes]
            term = (-1) ** len(subset) * _product(quiet[s] for s in subset) * _product(factors)
            total += term
            for c in causes:
                holds[c] += term / factors[c] * on[c]
                silent[c] += term / factors[c] * prior[c] * stays_off[c] * all_quiet[c]
        nobody = lit * _product(prior[c] * stays_off[c] * all_quiet[c] + 1 - prior[c] for c in causes)
        evidence = total * _product(quiet[s] for s in observed.absent)
        return Answer(np.array([float((holds[c] - silent[c]) / total) for c in causes]),
                      np.array([float(holds[c] / total) for c in causes]), float(nobody / total), float(evidence))


def _product(values: Iterator[Decimal] | list[Decimal]) -> Decimal:
    result = Decimal(1)
    for value in values:
        result *= value
    return result
