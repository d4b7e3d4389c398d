"""Exact belief against the long way round: every switch by itself, and 80 decimal digits."""

from __future__ import annotations

import math

import numpy as np
import pytest

from diagnose.reason import belief
from diagnose.reason.belief import MOST_EXACT, Belief, Variant, believe, believe_variants, single_cause
from diagnose.reason.network import Network, Observed
from tests.reason.brute import (
    Answer,
    by_switches,
    in_decimals,
    random_network,
    random_observed,
    sample_observed,
    set_weight,
)


def assert_same(found: Belief, expected: Answer, tolerance: float = 1e-12) -> None:
    """All four figures of a belief."""
    np.testing.assert_allclose(found.accounts, expected.accounts, rtol=0, atol=tolerance)
    np.testing.assert_allclose(found.holds, expected.holds, rtol=0, atol=tolerance)
    assert found.unaccounted == pytest.approx(expected.unaccounted, abs=tolerance)
    assert found.log_evidence == pytest.approx(math.log(expected.evidence), abs=1e-9)


def test_one_cause_and_one_sign_by_hand() -> None:
    """Prior 0.1, frequency 0.8, background 0.1: P(sign) = 0.1*0.82 + 0.9*0.1 = 0.172 (by hand)."""
    network = Network(np.array([0.1]), np.array([0.1]), np.array([[0.8]]))
    found = believe(network, Observed((0,), ()))
    assert found.holds[0] == pytest.approx(0.082 / 0.172)
    assert found.accounts[0] == pytest.approx(0.08 / 0.172)
    assert found.unaccounted == pytest.approx((0.9 * 0.1 + 0.1 * 0.2 * 0.1) / 0.172)
    assert found.log_evidence == pytest.approx(math.log(0.172))


def test_an_absent_sign_is_evidence_and_a_sign_not_looked_at_is_none() -> None:
    """Prior 0.1, frequency 0.8: absent leaves 0.02 / 0.92 (by hand); not looked at leaves the prior."""
    network = Network(np.array([0.1]), np.array([0.1]), np.array([[0.8]]))
    assert believe(network, Observed((), (0,))).holds[0] == pytest.approx(0.02 / 0.92)
    assert believe(network, Observed((), ())).holds[0] == pytest.approx(0.1)


def test_nothing_seen_is_nothing_accounted_for() -> None:
    """Without a present sign no cause accounts for anything, and the evidence is that of the absent ones."""
    network = random_network(np.random.default_rng(1), 4, 5)
    found = believe(network, Observed((), (1, 3)))
    assert not found.accounts.any()
    assert found.unaccounted == pytest.approx(1.0)
    assert_same(found, by_switches(network, Observed((), (1, 3))))


@pytest.mark.parametrize("seed", range(60))
def test_small_networks_against_every_switch(seed: int) -> None:
    """Causes that hold, that account for a sign, and none that does: sums over all switches, to 1e-12."""
    rng = np.random.default_rng(seed)
    network = random_network(rng, int(rng.integers(1, 5)), 6, links=float(rng.uniform(0.2, 1.0)))
    observed = random_observed(rng, 6, int(rng.integers(0, 4)), int(rng.integers(0, 3)))
    assert_same(believe(network, observed), by_switches(network, observed))


def test_causes_compete_for_a_sign_they_both_explain() -> None:
    """Explaining away: with a second sign of one cause seen, the other becomes less likely."""
    network = Network(np.array([0.1, 0.1]), np.array([0.01, 0.01]), np.array([[0.9, 0.0], [0.9, 0.9]]))
    alone, both = believe(network, Observed((0,), ())), believe(network, Observed((0, 1), ()))
    assert alone.accounts[0] == pytest.approx(alone.accounts[1])
    assert both.accounts[0] < 0.5 * alone.accounts[0]
    assert both.accounts[1] > alone.accounts[1]


@pytest.mark.parametrize("present", [1, 3, 5, 8, 10])
def test_no_digits_are_lost(present: int) -> None:
    """A network of the size of a real rule base, up to ten present signs, against 80 decimal digits: 1e-12."""
    rng = np.random.default_rng(present)
    network = random_network(rng, 30, 40, links=0.1, rare=True)
    for observed in (sample_observed(rng, network, min(present, 3), 6), random_observed(rng, 40, present, 8)):
        assert_same(believe(network, observed), in_decimals(network, observed))


def test_decimals_agree_with_every_switch() -> None:
    """The two long ways agree where both can go, so that either may serve as oracle."""
    rng = np.random.default_rng(77)
    network, observed = random_network(rng, 4, 5), Observed((0, 2, 4), (1,))
    long, longer = in_decimals(network, observed), by_switches(network, observed)
    np.testing.assert_allclose(long.accounts, longer.accounts, atol=1e-14)
    assert long.unaccounted == pytest.approx(longer.unaccounted, abs=1e-14)


@pytest.mark.parametrize("seed", range(25))
def test_variants_leave_signs_out_as_if_not_looked_at(seed: int) -> None:
    """Each sign left out in turn: causes hold as in a fresh reckoning without it; accounts by every switch."""
    rng = np.random.default_rng(1000 + seed)
    network = random_network(rng, 3, 6)
    observed = random_observed(rng, 6, 3, 2)
    variants = [Variant(), *(Variant(without_present=(sign,)) for sign in observed.present),
                *(Variant(without_absent=(sign,)) for sign in observed.absent),
                Variant(observed.present[:2], observed.absent)]
    for variant, found in zip(variants, believe_variants(network, observed, variants), strict=True):
        assert_same(found, by_switches(network, observed, variant))
        rest = Observed(tuple(s for s in observed.present if s not in variant.without_present),
                        tuple(s for s in observed.absent if s not in variant.without_absent))
        fresh = believe(network, rest)
        np.testing.assert_allclose(found.holds, fresh.holds, atol=1e-12)
        assert found.log_evidence == pytest.approx(fresh.log_evidence, abs=1e-9)


def test_batches_of_variants_do_not_change_the_figures(monkeypatch: pytest.MonkeyPatch) -> None:
    """Memory decides how many variants go together, nothing else."""
    rng = np.random.default_rng(5)
    network, observed = random_network(rng, 8, 10), random_observed(rng, 10, 5, 3)
    variants = [Variant(without_present=(sign,)) for sign in observed.present]
    together = believe_variants(network, observed, variants)
    monkeypatch.setattr(belief, "MOST_CELLS", 1)
    for one, other in zip(together, believe_variants(network, observed, variants), strict=True):
        np.testing.assert_array_equal(one.accounts, other.accounts)
        assert one.log_evidence == other.log_evidence


def test_sixteen_present_signs_are_exact_and_seventeen_are_refused() -> None:
    """At the limit the figures are still probabilities that agree with a fresh start; above it there is an error."""
    rng = np.random.default_rng(16)
    network = random_network(rng, 25, 20, links=0.15, rare=True)
    found = believe(network, Observed(tuple(range(MOST_EXACT)), (17, 18)))
    assert (found.accounts <= found.holds + 1e-12).all()
    assert 0.0 <= found.unaccounted <= 1.0
    swapped = network.frequency[:, ::-1].copy()
    mirrored = Network(network.prior, network.background[::-1].copy(), swapped)
    again = believe(mirrored, Observed(tuple(sorted(19 - n for n in range(MOST_EXACT))), (1, 2)))
    np.testing.assert_allclose(found.accounts, again.accounts, atol=1e-12)
    with pytest.raises(ValueError, match="17 present signs are more than 16"):
        believe(network, Observed(tuple(range(17)), ()))


def test_the_order_of_causes_and_signs_does_not_matter() -> None:
    """Renumbered, the same network gives the same figures."""
    rng = np.random.default_rng(8)
    network, observed = random_network(rng, 6, 8), random_observed(rng, 8, 4, 2)
    causes, signs = rng.permutation(6), rng.permutation(8)
    place = {int(sign): new for new, sign in enumerate(signs)}
    moved = Network(network.prior[causes], network.background[signs], network.frequency[np.ix_(causes, signs)])
    renamed = Observed(tuple(place[s] for s in observed.present), tuple(place[s] for s in observed.absent))
    other = believe(moved, renamed)
    found = believe(network, observed)
    np.testing.assert_allclose(found.accounts[causes], other.accounts, atol=1e-12)
    np.testing.assert_allclose(found.holds[causes], other.holds, atol=1e-12)


@pytest.mark.parametrize("factor", [0.001, 0.5, 1.0, 8.0, 1000.0])
def test_other_prior_odds_need_no_second_reckoning(factor: float) -> None:
    """Multiplying the prior odds of one cause afterwards is the same as reckoning with them from the start."""
    rng = np.random.default_rng(3)
    network, observed = random_network(rng, 5, 6), random_observed(rng, 6, 3, 2)
    found = believe(network, observed)
    for cause in range(5):
        odds = network.prior[cause] / (1 - network.prior[cause]) * factor
        prior = network.prior.copy()
        prior[cause] = odds / (1 + odds)
        fresh = believe(Network(prior, network.background, network.frequency), observed)
        assert found.accounts_with_odds(cause, factor) == pytest.approx(fresh.accounts[cause], abs=1e-12)


@pytest.mark.parametrize("seed", range(20))
def test_at_most_one_cause(seed: int) -> None:
    """The posterior over single causes and none, by direct products."""
    rng = np.random.default_rng(seed)
    network, observed = random_network(rng, 6, 8), random_observed(rng, 8, int(rng.integers(0, 5)), 3)
    weights = np.array([*(set_weight(network, observed, (cause,)) for cause in range(6)),
                        set_weight(network, observed, ())])
    np.testing.assert_allclose(single_cause(network, observed), weights / weights.sum(), atol=1e-12)
