"""Skill, errors and the picture on figures made by hand, and floors under the honesty on labelled letters."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest

from diagnose.reason.calibration import bands_of
from diagnose.workbench import Workbench
from tests.measure.calibration import (
    EDGES,
    Forecast,
    brier_skill,
    cross_validated,
    error_by_chance,
    error_of,
    fitted_strength,
    forecasts_of,
    honesty,
    interval,
    report,
)
from tests.measure.reliability_picture import picture
from tests.measure.scores import development_letters

HONEST = [Forecast(0.01, 0.75, number % 4 != 0) for number in range(40)]
LOUD = [Forecast(0.01, 0.99, number % 4 != 0) for number in range(40)]


def test_skill_by_hand() -> None:
    """The share itself has none; rightly said 0.75 and 0.25 in halves: 1 - 0.1875 / 0.25; certain and right: 1."""
    assert brier_skill([(0.5, True), (0.5, False)]) == pytest.approx(0.0)
    assert brier_skill([(0.75, n != 0) for n in range(4)] + [(0.25, n == 0) for n in range(4)]) == pytest.approx(0.25)
    assert brier_skill([(1.0, True), (0.0, False)]) == pytest.approx(1.0)


def test_an_interval_holds_its_figure_and_is_the_same_each_time() -> None:
    """Redrawn with a fixed seed; wider with fewer texts."""
    pairs = [(0.8, n % 5 != 0) for n in range(50)] + [(0.2, n % 5 == 0) for n in range(50)]
    low, high = interval(pairs, brier_skill)
    assert low < brier_skill(pairs) < high
    assert (low, high) == interval(pairs, brier_skill)
    few = interval(pairs[::5] + pairs[1::5], brier_skill)
    assert few[1] - few[0] > high - low


def test_errors_by_hand() -> None:
    """Said 0.9, half so: 0.4 off. By chance alone even an honest teller is off a little, less with more texts."""
    assert error_of([(0.9, True), (0.9, False)]) == pytest.approx(0.4)
    assert 0.0 < error_by_chance([(0.7, True)] * 400) < error_by_chance([(0.7, True)] * 40)


def test_the_strength_that_fits_takes_the_loud_back_and_leaves_the_honest() -> None:
    """Three of four so: 0.99 from 0.01 needs about (4.6 + 1.1) / 9.2 of its evidence, 0.75 all of it."""
    assert fitted_strength(HONEST) == pytest.approx(1.0)
    assert fitted_strength(LOUD) == pytest.approx(0.62, abs=0.05)
    assert LOUD[0].at(1.0)[0] == pytest.approx(0.99)
    said = {chance for chance, _ in cross_validated(LOUD)}
    assert len(cross_validated(LOUD)) == len(LOUD)
    assert all(0.6 < chance < 0.9 for chance in said)


def test_the_picture_shows_every_band() -> None:
    """A well-formed drawing with one dot a band and its count beside it."""
    bands = bands_of([(0.1, False), (0.3, True), (0.35, False), (0.9, True)], EDGES)
    drawn = ElementTree.fromstring(picture({"a < b": bands}))
    texts = [element.text for element in drawn.iter() if element.tag.endswith("text")]
    assert sum(element.tag.endswith("circle") for element in drawn.iter()) == len(bands) == 3
    assert "a < b" in texts
    assert texts.count("2") == 1


def test_development_letters_are_told_honestly() -> None:
    """What is said of the first and how often it is so lie close, and the error is near what chance alone makes."""
    found = honesty(list(forecasts_of(Workbench.open(), development_letters())))
    print(report("development letters", found))
    assert abs(found.said - found.so) < 0.1
    assert found.skill > -0.05
    assert found.error < found.error_by_chance + 0.08
