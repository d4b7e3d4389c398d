"""Exact belief against an independent library for Bayesian networks: pgmpy 1.1 (Ankan and Textor 2024, Journal of
Machine Learning Research 25), with every noisy-OR written out as a full conditional table."""

from __future__ import annotations

import itertools
import logging
from typing import Any

import numpy as np
import pytest

from diagnose.reason.belief import believe
from diagnose.reason.network import Network, Observed
from tests.reason.brute import random_network, random_observed

pytest.importorskip("pgmpy")
logging.getLogger("pgmpy").setLevel(logging.ERROR)

from pgmpy.factors.discrete import TabularCPD  # type: ignore[import-untyped]  # noqa: E402 - skipped without it
from pgmpy.inference import VariableElimination  # type: ignore[import-untyped]  # noqa: E402
from pgmpy.models import DiscreteBayesianNetwork  # type: ignore[import-untyped]  # noqa: E402

NETWORKS = 200
TOLERANCE = 1e-9


def _table(name: str, silent: list[float], parents: list[str]) -> Any:
    """A variable of two states from its chance of being off, for each combination of its parents."""
    return TabularCPD(name, 2, [silent, [1.0 - value for value in silent]], evidence=parents or None,
                      evidence_card=[2] * len(parents) or None)


def _expanded(network: Network) -> Any:
    """The network with a full table for each sign: P(off | causes) = (1 - background) * product of (1 - frequency)."""
    model = DiscreteBayesianNetwork()
    model.add_nodes_from([f"c{n}" for n in range(len(network.prior))])
    model.add_nodes_from([f"s{n}" for n in range(len(network.background))])
    tables = [_table(f"c{n}", [1.0 - float(prior)], []) for n, prior in enumerate(network.prior)]
    for sign, background in enumerate(network.background):
        causes = [int(c) for c in np.flatnonzero(network.frequency[:, sign])]
        model.add_edges_from([(f"c{c}", f"s{sign}") for c in causes])
        silent = [(1.0 - float(background)) * float(np.prod([1.0 - network.frequency[c, sign] for c, on in
                                                             zip(causes, states, strict=True) if on]))
                  for states in itertools.product([0, 1], repeat=len(causes))]
        tables.append(_table(f"s{sign}", silent, [f"c{c}" for c in causes]))
    model.add_cpds(*tables)
    return model


def _evidence(observed: Observed) -> dict[str, int]:
    return {f"s{s}": 1 for s in observed.present} | {f"s{s}": 0 for s in observed.absent}


def _marginals(model: Any, names: list[str], evidence: dict[str, int]) -> list[float]:
    """The chance that each variable is on, out of one joint query."""
    factor = VariableElimination(model).query(names, evidence=evidence, show_progress=False)
    order = [factor.variables.index(name) for name in names]
    values = np.transpose(factor.values, order)
    return [float(values.take(1, axis=n).sum()) for n in range(len(names))]


def test_causes_hold_as_likely_as_an_independent_library_says() -> None:
    """Two hundred random networks of two to five causes and three to six signs, each to 1e-9."""
    rng = np.random.default_rng(20260302)
    for _ in range(NETWORKS):
        causes, signs = int(rng.integers(2, 6)), int(rng.integers(3, 7))
        network = random_network(rng, causes, signs, links=float(rng.uniform(0.3, 0.9)), rare=bool(rng.random() < 0.5))
        observed = random_observed(rng, signs, int(rng.integers(0, signs)), int(rng.integers(0, 2)))
        names = [f"c{n}" for n in range(causes)]
        expected = _marginals(_expanded(network), names, _evidence(observed))
        np.testing.assert_allclose(believe(network, observed).holds, expected, rtol=0, atol=TOLERANCE)


def _with_switches(network: Network, observed: Observed) -> Any:
    """The same network with a variable for each link, and one a cause for "switched on a present sign"."""
    model = DiscreteBayesianNetwork()
    tables = [_table(f"c{n}", [1.0 - float(prior)], []) for n, prior in enumerate(network.prior)]
    model.add_nodes_from([f"c{n}" for n in range(len(network.prior))])
    looked_at = (*observed.present, *observed.absent)
    for cause, sign in itertools.product(range(len(network.prior)), looked_at):
        chance = float(network.frequency[cause, sign])
        model.add_edge(f"c{cause}", f"l{cause}_{sign}")
        tables.append(_table(f"l{cause}_{sign}", [1.0, 1.0 - chance], [f"c{cause}"]))
    for sign in looked_at:
        parents = [f"l{cause}_{sign}" for cause in range(len(network.prior))]
        tables.append(_any_of(model, f"s{sign}", parents, 1.0 - float(network.background[sign])))
    for cause in range(len(network.prior)):
        tables.append(_any_of(model, f"a{cause}", [f"l{cause}_{sign}" for sign in observed.present], 1.0))
    model.add_cpds(*tables)
    return model


def _any_of(model: Any, name: str, parents: list[str], off_alone: float) -> Any:
    model.add_edges_from([(parent, name) for parent in parents])
    silent = [0.0 if any(states) else off_alone for states in itertools.product([0, 1], repeat=len(parents))]
    return _table(name, silent, parents)


def test_causes_account_for_signs_as_likely_as_an_independent_library_says() -> None:
    """"Holds and switched on a present sign", with each link a variable of its own, on 20 networks, to 1e-9."""
    rng = np.random.default_rng(7)
    for _ in range(20):
        network = random_network(rng, 3, 4, links=0.8)
        observed = random_observed(rng, 4, int(rng.integers(1, 4)), 1)
        expected = _marginals(_with_switches(network, observed), ["a0", "a1", "a2"], _evidence(observed))
        np.testing.assert_allclose(believe(network, observed).accounts, expected, rtol=0, atol=TOLERANCE)
