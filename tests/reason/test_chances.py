"""The formulas of statistics against published figures."""

from __future__ import annotations

import math

import pytest
from scipy import stats

from diagnose.reason.chances import binomial_tail, brier, expected_calibration_error, updated_share, wilson


@pytest.mark.parametrize(("hits", "of", "low", "high"), [
    (81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605), (0, 20, 0.0, 0.1611), (1, 29, 0.0061, 0.1718),
    # the four above: Newcombe (1998), Statistics in Medicine 17; the others worked out with a statistics package
    (23, 60, 0.2709, 0.5098), (9, 10, 0.5958, 0.9821), (50, 100, 0.4038, 0.5962), (3, 3, 0.4385, 1.0),
    (0, 5, 0.0, 0.4345),
])
def test_wilson_interval(hits: int, of: int, low: float, high: float) -> None:
    """The 95 % interval is the published one."""
    assert wilson(hits, of) == pytest.approx((low, high), abs=1e-4)


def test_wilson_without_cases() -> None:
    """Nothing counted says nothing: from 0 to 1."""
    assert wilson(0, 0) == (0.0, 1.0)


@pytest.mark.parametrize(("hits", "of", "chance"), [(5, 16, 0.03), (1, 1, 0.5), (3, 400, 0.01), (10, 10, 0.9),
                                                    (60, 10_000, 0.004), (2, 3, 1e-9)])
def test_binomial_tail_is_that_of_a_statistics_package(hits: int, of: int, chance: float) -> None:
    """The tail is scipy's survival function, small ones included."""
    assert binomial_tail(hits, of, chance) == pytest.approx(stats.binom.sf(hits - 1, of, chance), rel=1e-9)


def test_binomial_tail_at_its_ends() -> None:
    """At least none is certain; more than all cannot be."""
    assert binomial_tail(0, 5, 0.1) == 1.0
    assert binomial_tail(6, 5, 0.1) == 0.0
    assert binomial_tail(1, 5, 0.0) == 0.0
    assert binomial_tail(5, 5, 1.0) == 1.0


def test_brier_of_a_four_day_forecast() -> None:
    """The worked four-day example of a tutorial on Brier's score."""
    assert brier([(0.27, True), (0.67, True), (0.83, False), (0.9, True)]) == pytest.approx(0.3352, abs=1e-4)


def test_calibration_error_of_ten_forecasts() -> None:
    """The ten forecasts in five equal bins closed on the right, from a published exercise: 0.074."""
    forecasts = [(0.55, 1), (0.6, 0), (0.65, 1), (0.7, 0), (0.72, 1), (0.85, 1), (0.88, 1), (0.9, 1), (0.92, 1),
                 (0.93, 1)]
    bands = []
    for low in (0.0, 0.2, 0.4, 0.6, 0.8):
        inside = [(said, so) for said, so in forecasts if low < said <= low + 0.2 + 1e-12]
        if inside:
            bands.append((len(inside), sum(said for said, _ in inside) / len(inside),
                          sum(so for _, so in inside) / len(inside)))
    assert expected_calibration_error(bands) == pytest.approx(0.074, abs=1e-4)


def test_updated_share_is_the_mean_of_the_posterior() -> None:
    """Dirichlet (1, 1, 1) and counts 5, 2, 3 give 6/13, 3/13, 4/13, cause by cause."""
    shares = [updated_share(1 / 3, 3, hits, 10) for hits in (5, 2, 3)]
    assert shares == pytest.approx([0.461538, 0.230769, 0.307692], abs=1e-6)
    assert math.isclose(sum(shares), 1.0)
    assert updated_share(0.3, 0, 0, 0) == 0.3
