"""The next question: its gain is the expected fall in doubt about the causes, reckoned the long way."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterable
from dataclasses import replace

import numpy as np
import pytest

from diagnose.model.facts import Case
from diagnose.reason import questions
from diagnose.reason.network import Observed
from diagnose.reason.questions import Candidate, bits_told, candidates
from diagnose.reason.rulebook import Rulebook
from diagnose.reason.standing import Standing, stand
from tests.reason.brute import groups, set_weight
from tests.small import case, small_base, small_rulebook

SIGNS = small_rulebook().signs
EFFORT = small_base().scales.effort
LIMP = case(("moss_limp",), ("grit_white",), humidity_pct=60.0)
Group = tuple[int, ...]


@pytest.fixture(autouse=True)
def nothing_cut_off(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every hypothesis counts, however unlikely."""
    monkeypatch.setattr(questions, "KEPT_WEIGHT", 1.0)


def standing(facts: Case) -> Standing:
    """The case reasoned through."""
    return stand(small_rulebook(), facts)


def by_question(facts: Case, asked: frozenset[str] = frozenset()) -> dict[str, Candidate]:
    """The candidates by the id of their question, in their order."""
    return {found.question.id: found for found in candidates(small_rulebook(), standing(facts), asked)}


def entropy(chances: Iterable[float]) -> float:
    """Bits of doubt in chances that are scaled to sum to 1."""
    listed = [chance for chance in chances if chance > 0]
    return -sum(chance / sum(listed) * math.log2(chance / sum(listed)) for chance in listed)


def chance_shown(found: Standing, group: Group, sign: int) -> float:
    """P(sign | causes) of the noisy-OR."""
    silent = 1.0 - float(found.network.background[sign])
    for cause in group:
        silent *= 1.0 - float(found.network.frequency[cause, sign])
    return 1.0 - silent


def expected_fall(found: Standing, outcomes: Callable[[Group], list[float]]) -> float:
    """Doubt about which of the causes that can explain a present sign hold, now minus its mean after the answer.

    Every set of all causes is gone through; ``outcomes`` gives the chance of each outcome under it.
    """
    relevant = set(found.network.subset(found.observed.present))
    joint: dict[Group, list[float]] = {}
    for group in groups(tuple(range(3)), 3):
        weight = set_weight(found.network, found.observed, group)
        key = tuple(cause for cause in group if cause in relevant)
        rows = joint.setdefault(key, [0.0] * len(outcomes(())))
        joint[key] = [held + weight * chance for held, chance in zip(rows, outcomes(group), strict=True)]
    now = entropy(sum(rows) for rows in joint.values())
    columns: list[list[float]] = [list(column) for column in zip(*joint.values(), strict=True)]
    total = sum(sum(column) for column in columns)
    later = sum(sum(column) / total * entropy(column) for column in columns)
    return now - later


@pytest.mark.parametrize(("question", "sign"), [("moss_firmness", "moss_limp"), ("jar_floor", "grit_white")])
@pytest.mark.parametrize("present", [("moss_brown",), ("web_fine", "moss_brown_tips"), ("glass_fogged",)])
def test_a_question_on_one_sign_gains_the_expected_fall_in_doubt(
        question: str, sign: str, present: tuple[str, ...]) -> None:
    """Exact, summed over every set of causes, also those that explain nothing seen."""
    found = standing(case(present, humidity_pct=60.0))
    number = SIGNS.index(sign)

    def outcomes(group: Group) -> list[float]:
        return [chance_shown(found, group, number), 1.0 - chance_shown(found, group, number)]

    expected = expected_fall(found, outcomes)
    gained = by_question(found.case)
    assert (gained[question].gain_bits if question in gained else 0.0) == pytest.approx(expected, abs=1e-9)


def test_a_question_with_several_answers_gains_over_all_their_combinations() -> None:
    """Fog and threads may hold together: four outcomes, exact."""
    found = standing(LIMP)
    columns = [SIGNS.index("glass_fogged"), SIGNS.index("web_fine")]

    def outcomes(group: Group) -> list[float]:
        chances = [chance_shown(found, group, column) for column in columns]
        return [math.prod(chance if on else 1 - chance for chance, on in zip(chances, combination, strict=True))
                for combination in itertools.product([0, 1], repeat=2)]

    assert by_question(LIMP)["jar_glass"].gain_bits == pytest.approx(expected_fall(found, outcomes), abs=1e-9)


def _one_of_several(found: Standing, group: Group) -> list[float]:
    """The four answers on the colour of the moss: brown tips are brown moss too; exactly one answer is given."""
    tips, brown, slimy = (chance_shown(found, group, SIGNS.index(sign))
                          for sign in ("moss_brown_tips", "moss_brown", "moss_slimy"))
    chances = [tips * (1 - slimy), brown * (1 - tips) * (1 - slimy), slimy * (1 - tips) * (1 - brown),
               (1 - tips) * (1 - brown) * (1 - slimy)]
    return [chance / sum(chances) for chance in chances]


def test_a_question_with_one_of_several_answers_gains_over_its_answers() -> None:
    """Where all causes are open, exact: one answer of four, scaled to sum to 1 under each set of causes."""
    found = standing(case(("moss_limp", "web_fine"), humidity_pct=60.0))
    expected = expected_fall(found, lambda group: _one_of_several(found, group))
    assert by_question(found.case)["moss_colour"].gain_bits == pytest.approx(expected, abs=1e-9)


def test_causes_outside_the_doubt_blur_an_answer_a_little() -> None:
    """Where mites explain nothing seen they only raise what may be seen anyway; the gain stays close to exact."""
    found = standing(LIMP)
    expected = expected_fall(found, lambda group: _one_of_several(found, group))
    assert by_question(LIMP)["moss_colour"].gain_bits == pytest.approx(expected, abs=0.01)


def test_before_anything_is_seen_single_causes_are_weighed() -> None:
    """With no sign seen the hypotheses are each cause alone and none: the gain over those four, exact."""
    found = standing(case(humidity_pct=60.0))
    hypotheses: list[Group] = [(0,), (1,), (2,), ()]
    weights = [set_weight(found.network, Observed((), ()), group) for group in hypotheses]
    tables = {"moss_colour": [_one_of_several(found, group) for group in hypotheses],
              "jar_floor": [[chance := chance_shown(found, group, SIGNS.index("grit_white")), 1 - chance]
                            for group in hypotheses]}
    for question, table in tables.items():
        after = [[weight * row[n] for weight, row in zip(weights, table, strict=True)] for n in range(len(table[0]))]
        expected = entropy(weights) - sum(sum(column) / sum(weights) * entropy(column) for column in after)
        assert by_question(found.case)[question].gain_bits == pytest.approx(expected, abs=1e-9)


def test_the_cut_off_of_unlikely_sets_costs_little(monkeypatch: pytest.MonkeyPatch) -> None:
    """With the last half percent of the weight left out, gains move by less than 0.02 bits."""
    exact = by_question(LIMP)
    monkeypatch.setattr(questions, "KEPT_WEIGHT", 0.995)
    for question, found in by_question(LIMP).items():
        assert found.gain_bits == pytest.approx(exact[question].gain_bits, abs=0.02)


def test_bits_told_is_mutual_information() -> None:
    """A perfect answer tells all the doubt, a useless one nothing; two tables at once do not mix."""
    weight = np.array([0.5, 0.25, 0.25])
    perfect, useless = np.eye(3), np.full((3, 2), 0.5)
    half = np.array([[1.0, 0.0], [0.0, 1.0], [0.0, 1.0]])
    np.testing.assert_allclose(bits_told(weight, [perfect, useless, half]), [1.5, 0.0, 1.0], atol=1e-12)


def test_questions_come_in_order_of_bits_per_effort() -> None:
    """What costs more must tell more: where a glance costs as much as unpotting, the order is another."""
    facts = case(("moss_brown",), humidity_pct=60.0)
    base = small_base()
    dear = Rulebook(replace(base, scales=replace(base.scales, effort={**EFFORT, "look": 40.0})))
    usual, other = list(by_question(facts).values()), candidates(dear, stand(dear, facts))
    assert [c.question.id for c in usual] != [c.question.id for c in other]
    for found, effort in ((usual, EFFORT), (other, dear.base.scales.effort)):
        worth = [candidate.gain_bits / effort[candidate.question.effort] for candidate in found]
        assert [candidate.worth for candidate in found] == pytest.approx(worth)
        assert worth == sorted(worth, reverse=True)


def test_what_is_known_or_was_asked_is_not_asked() -> None:
    """A question whose signs are all settled, or that was put before, does not come again; unsure signs may."""
    assert set(by_question(case(("moss_limp",), ("grit_white",)))) == {"moss_colour", "jar_glass"}
    assert "jar_glass" not in by_question(case(("moss_limp",)), frozenset({"jar_glass"}))
    rest = ("grit_white", "glass_fogged", "web_fine", "moss_brown", "moss_brown_tips", "moss_slimy")
    assert by_question(case(("moss_limp",), rest)) == {}


def test_a_question_settled_in_part_is_asked_for_the_rest() -> None:
    """With the fog known, the glass is still worth a look for threads."""
    found = by_question(case(("glass_fogged", "moss_brown")))["jar_glass"]
    assert found.sign == "web_fine"


def test_a_question_names_the_sign_that_tells_most() -> None:
    """Of fog and threads, fog tells more about a limp moss."""
    assert by_question(LIMP)["jar_glass"].sign == "glass_fogged"


def test_answers_never_tell_more_than_the_doubt() -> None:
    """No question gains more bits than there are."""
    found = standing(LIMP)
    doubt = entropy(float(weight) for weight in found.sets.weight)
    assert all(0.0 <= candidate.gain_bits <= doubt + 1e-9 for candidate in by_question(LIMP).values())
