"""Whether anything fits: the surprise under the best explanation, on the small rule base and by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from diagnose.model.facts import Case
from diagnose.reason.misfit import nothing_fits, surprise_of
from diagnose.reason.network import Network, Observed
from diagnose.reason.standing import Standing, stand
from tests.reason.brute import by_switches
from tests.small import DATE, case, small_rulebook

CONSTANTS = {"misfit_from": 0.75, "misfit_expected": 0.5, "misfit_unaccounted": 0.5, "misfit_spread_bits": 2.0,
             "misfit_weight": 2.0}
NETWORK = Network(prior=np.array([0.1, 0.1]), background=np.array([0.5, 0.25, 0.5]),
                  frequency=np.array([[0.5, 0.0, 0.0], [0.0, 0.5, 0.0]]))


def standing(facts: Case) -> Standing:
    """The case reasoned through."""
    return stand(small_rulebook(), facts)


def test_surprise_by_hand() -> None:
    """First sign there (3/4 under the first cause), third not there (1/2): log2(4/3) + 1 bits; entropies expected."""
    found = surprise_of(NETWORK, Observed((0,), (2,)), (0,))
    assert found.bits == pytest.approx(math.log2(4 / 3) + 1)
    assert found.expected_bits == pytest.approx(0.75 * math.log2(4 / 3) + 0.25 * 2 + 1)


def test_the_spread_by_hand_and_by_drawing() -> None:
    """Mean and variance are those of the surprise of plants drawn from the network itself with the cause on it."""
    found = surprise_of(NETWORK, Observed((0,), (1, 2)), (0,))
    shown = np.array([0.75, 0.25, 0.5])
    drawn = np.random.default_rng(1).random((20_000, 3)) < shown
    bits = -np.log2(np.where(drawn, shown, 1 - shown)).sum(axis=1)
    assert found.expected_bits == pytest.approx(bits.mean(), rel=0.02)
    assert found.variance == pytest.approx(bits.var(), rel=0.03)
    assert found.variance == pytest.approx(2 * 0.75 * 0.25 * math.log2(3) ** 2)


def test_the_formula_on_a_case() -> None:
    """As the docstring has it, with the chance that nothing was switched on reckoned by going through all switches."""
    found = standing(case(("moss_limp", "grit_white", "web_fine"), ("moss_brown", "glass_fogged")))
    excess = variance = 0.0
    for place, sign in enumerate([*found.observed.present, *found.observed.absent]):
        silent = float(1 - found.network.background[sign])
        for cause in found.best:
            silent *= float(1 - found.network.frequency[cause, sign])
        excess -= math.log2(1 - silent if place < len(found.observed.present) else silent)
        excess += 0.5 * ((1 - silent) * math.log2(1 - silent) + silent * math.log2(silent))
        variance += silent * (1 - silent) * math.log2((1 - silent) / silent) ** 2
    unaccounted = by_switches(found.network, found.observed).unaccounted
    excess += 0.5 * math.log2(unaccounted / (1 - unaccounted))
    bits = 2.0 * (excess / math.sqrt(variance + 4.0) - 0.75)
    assert found.nothing_fits == pytest.approx(1 / (1 + 2**-bits), abs=1e-9)


def test_a_clear_case_fits_and_a_strange_one_does_not() -> None:
    """A mite in full array fits; grit alone, with nothing else that mites show, does not."""
    assert standing(case(("web_fine", "moss_brown", "grit_white"))).nothing_fits < 0.05
    assert standing(case(("grit_white",), ("web_fine", "moss_brown"))).nothing_fits > 0.5


def strange(network: Network, present: tuple[int, ...], absent: tuple[int, ...] = ()) -> float:
    """That nothing fits, with the first cause as the explanation and even odds that something was switched on."""
    return nothing_fits(CONSTANTS, network, Observed(present, absent), (0,), 0.5)


def test_a_sign_left_over_and_a_sign_missing_both_speak_against_a_fit() -> None:
    """One sign that the explanation does not show, or the lack of one that it nearly always shows, fits worse."""
    network = Network(np.array([0.1]), np.array([0.02, 0.02, 0.02]), np.array([[0.9, 0.9, 0.0]]))
    assert strange(network, (0, 1)) < strange(network, (0,)) < strange(network, (0,), (1,))
    assert strange(network, (0, 1), (2,)) < strange(network, (0, 1)) + 1e-9 < strange(network, (0, 1, 2))


def test_a_doubtful_reading_left_over_weighs_less() -> None:
    """What may have been misread has the greater background, and speaks less against the explanation."""
    sure, doubtful = (Network(np.array([0.1]), np.array([0.02, ground]), np.array([[0.9, 0.0]]))
                      for ground in (0.02, 0.12))
    assert strange(doubtful, (0, 1)) < strange(sure, (0, 1))


def test_nothing_seen_fits_nothing() -> None:
    """Without a present sign no cause accounts for anything."""
    assert standing(Case(DATE)).nothing_fits == 1.0
    assert standing(case((), ("moss_brown",))).nothing_fits == 1.0


@pytest.mark.parametrize("unaccounted", [0.0, 1e-300, 0.5, 1.0])
def test_it_stays_a_probability(unaccounted: float) -> None:
    """However sure the belief is that something, or nothing, was switched on."""
    assert 0.0 <= nothing_fits(CONSTANTS, NETWORK, Observed((0,), (2,)), (0,), unaccounted) <= 1.0
