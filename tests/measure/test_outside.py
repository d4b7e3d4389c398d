"""The reasoning core on outside material: bars set beforehand (tests.measure.outside_bars names the sources)."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from functools import cache

import numpy as np
import pytest

from diagnose.model.knowledge import Scales
from diagnose.reason.network import Floats
from diagnose.workbench import Workbench
from tests.measure.outside import (
    Figures,
    pathfinder_answers,
    pathfinder_questions,
    soybean_answers,
    soybean_questions,
)
from tests.measure.outside_bars import BARS, Bar
from tests.measure.outside_cases import UNKNOWN, LabelledCases, Unavailable, folds_of, with_slips
from tests.measure.outside_pathfinder import ExpertNetwork, pathfinder
from tests.measure.outside_soybean import soybean_cases
from tests.measure.outside_trial import Believer, decisions, scores
from tests.measure.outside_words import counted, in_words

Measure = Callable[[Scales, Sequence[str]], Figures]
MEASURES: dict[str, Measure] = {
    "soybean/all": soybean_answers, "soybean/five": soybean_questions, "soybean/stop": soybean_questions,
    "pathfinder/all": pathfinder_answers, "pathfinder/eight": pathfinder_questions,
}


@pytest.fixture(scope="module")
def scales() -> Scales:
    """The words of the rule base."""
    return Workbench.open().base.scales


@pytest.fixture(scope="module")
def soybean() -> LabelledCases:
    """The soybean set; where it cannot be had, what is needed."""
    try:
        return soybean_cases()
    except Unavailable as error:
        pytest.skip(str(error))


@pytest.fixture(scope="module")
def network() -> ExpertNetwork:
    """The pathfinder network; where it cannot be had, what is needed."""
    try:
        return pathfinder()
    except Unavailable as error:
        pytest.skip(str(error))


@cache
def measured(measure: Measure) -> Figures | str:
    """The figures of the core with words, or why they cannot be had."""
    try:
        return measure(Workbench.open().base.scales, ("words",))
    except Unavailable as error:
        return str(error)


@pytest.mark.parametrize("bar", BARS, ids=lambda bar: bar.figure.replace("/{}", ""))
def test_the_core_with_words_reaches_the_bar(bar: Bar) -> None:
    """Each figure of the core that knows words only is on the right side of its bar."""
    figures = measured(next(MEASURES[start] for start in MEASURES if bar.figure.startswith(start)))
    if isinstance(figures, str):
        pytest.skip(figures)
    assert bar.met(figures), f"{bar.figure}: {bar.shown(bar.value(figures))}, wanted {bar.line}"


def test_the_soybean_set_is_the_published_one(soybean: LabelledCases) -> None:
    """683 plants, 19 causes, 35 questions, 2,337 answers missing, all of them in five causes (its help page, UCI)."""
    counts = Counter(soybean.causes[cause] for cause in soybean.cause)
    assert soybean.answers.shape == (683, 35)
    assert len(counts) == 19
    assert (counts["brown-spot"], counts["phytophthora-rot"], counts["herbicide-injury"]) == (92, 88, 8)
    missing = soybean.answers == UNKNOWN
    assert missing.sum() == 2337
    assert len(set(soybean.cause[missing.any(axis=1)])) == 5


def test_belief_is_the_direct_product_on_every_plant(soybean: LabelledCases, scales: Scales) -> None:
    """Undamped, the posterior is prior odds times the chances of the answers, to 1e-9; the order does not matter."""
    learned = in_words(counted(soybean, np.arange(len(soybean.cause))), scales)
    believer = Believer(learned, scales)
    chances = learned.chances
    believed, backwards, products = [], [], []
    for row in soybean.answers:
        answers = {question: int(answer) for question, answer in enumerate(row) if answer != UNKNOWN}
        believed.append(believer.believe(answers, damped=False))
        backwards.append(believer.believe(dict(reversed(answers.items())), damped=False))
        product = learned.prior / (1.0 - learned.prior)
        for question, answer in answers.items():
            product = product * chances[question][:, answer]
        products.append(product / product.sum())
    np.testing.assert_allclose(believed, products, rtol=0.0, atol=1e-9)
    np.testing.assert_allclose(believed, backwards, rtol=0.0, atol=1e-12)


def test_the_pathfinder_network_is_the_published_one(network: ExpertNetwork) -> None:
    """63 causes, 109 variables, 195 arcs, 72,079 free parameters (the network repositories give the same)."""
    assert len(network.states["Fault"]) == 63
    assert len(network.tables) == 109
    assert sum(map(len, network.parents.values())) == 195
    assert sum(table.size - table.size // table.shape[-1] for table in network.tables.values()) == 72079


def test_drawn_cases_follow_the_exact_shares(network: ExpertNetwork) -> None:
    """Each answer is drawn as often as its exact overall share says, within five standard errors."""
    count = 20_000
    cases, shares = network.drawn(count, seed=3), network.shares()
    for question, overall in enumerate(shares.overall):
        drawn = np.bincount(cases.answers[:, question], minlength=len(overall)) / count
        error = np.sqrt(overall * (1.0 - overall) / count)
        assert (np.abs(drawn - overall) <= 5.0 * error + 1.0 / count).all()


def few() -> LabelledCases:
    """Twelve invented cases of two causes and two questions; one answer is missing."""
    answers = np.array([[0, 0], [1, 1]] * 6)
    answers[0, 1] = UNKNOWN
    return LabelledCases(("left", "right"), (2, 3), answers, np.array([0, 1] * 6))


def certain(*first: float) -> Floats:
    """Probabilities of two causes and none, one row for each probability of the first cause."""
    return np.array([[chance, 1.0 - chance, 0.0] for chance in first])


def test_folds_hold_every_cause_alike() -> None:
    """Three folds of twelve cases hold two of each cause, whatever the seed."""
    for seed in range(5):
        fold = folds_of(few(), 3, seed)
        assert Counter(zip(fold.tolist(), few().cause.tolist(), strict=True)) == Counter(
            {(number, cause): 2 for number in range(3) for cause in range(2)})


def test_slips_change_given_answers_only() -> None:
    """All answers slipped: every one is another possible one, and a missing one stays missing."""
    told = with_slips(few(), 1.0, seed=1).answers
    given = few().answers != UNKNOWN
    assert (told[~given] == UNKNOWN).all()
    assert (told[given] != few().answers[given]).all()
    assert (told.max(axis=0) < np.array(few().sizes)).all()


def test_scores_and_decisions_by_hand() -> None:
    """Two cases, one right at .8 and one wrong at .6: half right, calibration error .4, log-loss by hand."""
    pair = LabelledCases(("left", "right"), (2,), np.zeros((2, 1), dtype=np.int64), np.array([0, 1]))
    found = scores(certain(0.8, 0.6), pair)
    assert (found.first, found.among_three) == (0.5, 1.0)
    assert found.log_loss == pytest.approx(-(np.log(0.8) + np.log(0.4)) / 2)
    assert found.calibration_error == pytest.approx((0.2 + 0.6) / 2)
    steps = np.array([certain(0.5, 0.5), certain(0.95, 0.5), certain(0.99, 0.6)])
    stopped = decisions(steps, pair, 0.9)
    assert (stopped.mean_questions, stopped.decided, stopped.right_when_decided) == (1.5, 0.5, 1.0)
