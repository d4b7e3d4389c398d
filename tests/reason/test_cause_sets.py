"""Weighed sets of causes: what they leave out, what they come to, and the best explanation."""

from __future__ import annotations

import math

import numpy as np
import pytest

from diagnose.reason import cause_sets
from diagnose.reason.belief import believe
from diagnose.reason.cause_sets import best_explanation, enumerate_sets, from_sets, search_sets
from diagnose.reason.network import Network, Observed
from tests.reason.brute import groups, random_network, random_observed, sample_observed, set_weight


def test_every_set_of_at_most_three_is_weighed_by_its_probability() -> None:
    """Weights are in proportion to the probability of set and signs, reckoned one by one."""
    rng = np.random.default_rng(1)
    network, observed = random_network(rng, 6, 7), random_observed(rng, 7, 3, 2)
    sets = enumerate_sets(network, observed)
    weights = {group: set_weight(network, observed, group) for group in groups(network.subset(observed.present), 3)}
    total = sum(weights.values())
    assert len(sets.weight) == len(weights)
    for row, weight in zip(sets.members, sets.weight, strict=True):
        assert weight == pytest.approx(weights[tuple(sets.causes[c] for c in np.flatnonzero(row))] / total, abs=1e-12)
    assert sets.log_total == pytest.approx(math.log(total), abs=1e-9)


def test_only_the_leading_causes_are_combined() -> None:
    """At most 18 causes, in the order given, make up the sets: 1 + 18 + 153 + 816."""
    network = random_network(np.random.default_rng(2), 25, 4, links=1.0)
    leading = tuple(range(24, -1, -1))
    sets = enumerate_sets(network, Observed((0, 1), ()), leading)
    assert len(sets.weight) == 988
    assert sets.causes == leading[:18]


@pytest.mark.parametrize("seed", range(30))
def test_figures_from_all_sets_are_exact(seed: int) -> None:
    """Where the sets leave nothing out, the figures are those of exact belief, in every part."""
    rng = np.random.default_rng(seed)
    network = random_network(rng, 7, 6, links=0.4)
    observed = random_observed(rng, 6, int(rng.integers(1, 4)), 2)
    sets = search_sets(network, observed)
    found, exact = from_sets(network, observed, sets), believe(network, observed)
    np.testing.assert_allclose(found.accounts, exact.accounts, atol=1e-10)
    np.testing.assert_allclose(found.holds, exact.holds, atol=1e-10)
    assert found.unaccounted == pytest.approx(exact.unaccounted, abs=1e-10)


@pytest.mark.parametrize("present", [6, 9, 12])
def test_the_beam_comes_close_to_exact_belief(present: int) -> None:
    """Signs drawn from a network of 40 causes: off by 0.01 in the mean and 0.08 at most, and the leader is the same."""
    rng = np.random.default_rng(present)
    network = random_network(rng, 40, 60, links=0.12, rare=True)
    for _ in range(5):
        observed = sample_observed(rng, network, min(present, 6), 8)
        observed = Observed(tuple(sorted({*observed.present, *range(present - len(observed.present))}
                                         - set(observed.absent))), observed.absent)
        found = from_sets(network, observed, search_sets(network, observed))
        exact = believe(network, observed)
        assert np.abs(found.accounts - exact.accounts).max() < 0.08
        assert np.abs(found.accounts - exact.accounts).mean() < 0.01
        assert found.accounts.argmax() == exact.accounts.argmax()


def test_the_beam_goes_on_above_the_limit_of_exact_belief() -> None:
    """Twenty present signs give probabilities in good order within a moment."""
    rng = np.random.default_rng(20)
    network = random_network(rng, 40, 30, links=0.15, rare=True)
    observed = Observed(tuple(range(20)), (25, 26))
    found = from_sets(network, observed, search_sets(network, observed))
    assert (found.accounts <= found.holds + 1e-9).all()
    assert (found.accounts >= 0.0).all()
    assert 0.0 <= found.unaccounted < 1e-6
    assert found.holds.sum() > 3


def test_a_cause_outside_all_sets_keeps_what_the_absent_signs_leave_it() -> None:
    """A cause that shows no present sign is only moved by the signs it should have shown (prior 0.2, 0.8: by hand)."""
    network = Network(np.array([0.3, 0.2]), np.array([0.1, 0.1]), np.array([[0.9, 0.0], [0.0, 0.8]]))
    observed = Observed((0,), (1,))
    assert from_sets(network, observed, search_sets(network, observed)).holds[1] == pytest.approx(0.04 / 0.84)


def _best_by_hand(network: Network, observed: Observed, companion_from: float) -> tuple[int, ...]:
    """The likeliest cause, then the likeliest companion that shows something left or is likely, over small sets."""
    relevant = network.subset(observed.present)
    weights = {group: set_weight(network, observed, group) for group in groups(relevant, 3)}
    left = {sign for sign in observed.present if network.frequency[:, sign].any()}
    chosen: list[int] = []
    while len(chosen) < 3:
        least = companion_from * sum(weight for group, weight in weights.items() if set(chosen) <= set(group))
        chances = {cause: sum(weight for group, weight in weights.items() if {cause, *chosen} <= set(group))
                   for cause in relevant if cause not in chosen}
        chances = {cause: chance for cause, chance in chances.items()
                   if any(network.frequency[cause, s] for s in left) or (chosen and chance >= least)}
        if not chances:
            break
        chosen.append(max(chances, key=lambda cause: chances[cause]))
        left -= {sign for sign in left if network.frequency[chosen[-1], sign]}
    return tuple(chosen)


@pytest.mark.parametrize("seed", range(60))
def test_the_best_explanation_adds_the_likeliest_companions(seed: int) -> None:
    """Cause by cause, summed over every set of at most three, on sparse and dense networks."""
    from_ = 0.1 + 0.2 * (seed % 5)
    rng = np.random.default_rng(seed)
    network = random_network(rng, 8, 7, links=float(rng.uniform(0.1, 0.6)), rare=bool(seed % 2))
    observed = random_observed(rng, 7, int(rng.integers(0, 5)), 2)
    assert best_explanation(network, observed, enumerate_sets(network, observed), from_) == _best_by_hand(
        network, observed, from_)


def test_a_second_trouble_likely_beside_the_first_is_named_with_it() -> None:
    """Two independent causes of the same sign, each nearly certain: both, unless the bar is above their chance."""
    network = Network(np.array([0.8, 0.7]), np.array([0.01]), np.array([[0.9], [0.9]]))
    observed = Observed((0,), ())
    sets = enumerate_sets(network, observed)
    assert best_explanation(network, observed, sets, 0.3) == (0, 1)
    assert best_explanation(network, observed, sets, 0.9) == (0,)


def test_one_cause_is_named_where_one_will_do_and_two_where_not() -> None:
    """A second cause is only named where the first cannot show a sign."""
    frequency = np.array([[0.9, 0.9, 0.0], [0.5, 0.5, 0.0], [0.0, 0.0, 0.5]])
    network = Network(np.array([0.05, 0.05, 0.01]), np.full(3, 0.01), frequency)
    for present, expected in [((0,), (0,)), ((0, 1), (0,)), ((0, 1, 2), (0, 2)), ((2,), (2,))]:
        observed = Observed(present, ())
        assert best_explanation(network, observed, enumerate_sets(network, observed), 0.5) == expected


def test_signs_that_no_cause_shows_are_no_reason_for_a_cause() -> None:
    """What nothing explains stays unexplained; alone it gives no explanation at all."""
    network = Network(np.array([0.1]), np.array([0.1, 0.1]), np.array([[0.9, 0.0]]))
    assert best_explanation(network, Observed((1,), ()), enumerate_sets(network, Observed((1,), ())), 0.5) == ()
    assert best_explanation(network, Observed((), ()), enumerate_sets(network, Observed((), ())), 0.5) == ()
    assert best_explanation(network, Observed((0, 1), ()), enumerate_sets(network, Observed((0, 1), ())), 0.5) == (0,)


def test_a_set_that_cannot_cover_everything_still_names_the_likeliest() -> None:
    """Four signs with a cause each need four causes: the best three at most are named."""
    network = Network(np.full(4, 0.05), np.full(4, 0.02), np.eye(4) * 0.9)
    observed = Observed((0, 1, 2, 3), ())
    best = best_explanation(network, observed, enumerate_sets(network, observed), 0.5)
    assert len(best) == cause_sets.MOST_IN_SET
