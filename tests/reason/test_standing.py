"""From the facts of a case to probabilities, on the small rule base, whose numbers can be reckoned by hand."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest

from diagnose.model.facts import Case, Event, Habit, Measure, Origin, PlantContext, SeenSign, State
from diagnose.model.knowledge import AllOf, Atom
from diagnose.reason.standing import Standing, shift_decibans, stand
from tests.reason.brute import by_switches, set_weight
from tests.small import DATE, case, seen, small_rulebook, with_shows

SIGNS = small_rulebook().signs
CAUSES = small_rulebook().causes
DRY, WET, MITE = range(3)


def standing(facts: Case) -> Standing:
    """The case reasoned through."""
    return stand(small_rulebook(), facts)


def links(found: Standing) -> dict[str, dict[str, float]]:
    """The links of a case by cause and sign."""
    return {cause: {sign: round(float(found.network.frequency[c, s]), 6) for s, sign in enumerate(SIGNS)
                    if found.network.frequency[c, s]} for c, cause in enumerate(CAUSES)}


def prior_decibans(found: Standing, cause: int) -> float:
    """By how much the prior odds of a cause were moved."""
    prior, usual = float(found.network.prior[cause]), float(small_rulebook().prior[cause])
    return 10 * math.log10(prior / (1 - prior) / (usual / (1 - usual)))


def logit(chance: float) -> float:
    """Natural logarithm of the odds."""
    return math.log(chance / (1 - chance))


def test_the_network_of_a_case_without_facts() -> None:
    """Priors of the scale; links as written, the general sign for the special one, a fifth the other way (by hand)."""
    found = standing(case())
    assert found.network.prior.tolist() == pytest.approx([0.05, 0.05, 0.02])
    assert links(found) == {
        "jar_too_dry": {"moss_brown": 0.6, "moss_brown_tips": 0.6, "moss_limp": 0.6},
        "jar_too_wet": {"glass_fogged": 0.9, "moss_brown": 0.3, "moss_brown_tips": 0.06, "moss_limp": 0.3,
                        "moss_slimy": 0.6},
        "moss_mite": {"grit_white": 0.3, "moss_brown": 0.6, "moss_brown_tips": 0.12, "web_fine": 0.9}}


def test_measures_make_conditions_and_conditions_shift_the_odds() -> None:
    """65 % is dry for a tall moss, which wants 70, and not for one of unknown kind, which wants 60."""
    assert prior_decibans(standing(case(humidity_pct=65.0)), DRY) == pytest.approx(9)
    assert prior_decibans(standing(case(humidity_pct=70.0)), DRY) == pytest.approx(0)
    assert prior_decibans(standing(case(humidity_pct=65.0, group="")), DRY) == pytest.approx(0)
    assert prior_decibans(standing(case(humidity_pct=59.9, group="")), DRY) == pytest.approx(9)


def test_a_condition_may_rest_on_another_and_on_a_denial() -> None:
    """Mites like dry air that is known not to be misted; not knowing is not enough."""
    assert prior_decibans(standing(case(humidity_pct=50.0)), MITE) == pytest.approx(0)
    assert prior_decibans(standing(case(humidity_pct=50.0, habits=[("misting", False)])), MITE) == pytest.approx(5)
    assert prior_decibans(standing(case(habits=[("misting", False)])), MITE) == pytest.approx(0)


def test_a_condition_that_does_not_hold_can_be_asked_for() -> None:
    """Misting speaks for too wet only where the air is not dry; it speaks a little against too dry anyway."""
    misted = [("misting", True)]
    moist, dry = standing(case(habits=misted)), standing(case(habits=misted, humidity_pct=50.0))
    assert [prior_decibans(moist, cause) for cause in (DRY, WET)] == pytest.approx([-2, 5])
    assert [prior_decibans(dry, cause) for cause in (DRY, WET)] == pytest.approx([7, 0])


def test_events_count_within_their_window() -> None:
    """Watered three days ago counts, four days ago does not; watered twice counts once."""
    assert prior_decibans(standing(case(waterings_days_ago=[3])), WET) == pytest.approx(2)
    assert prior_decibans(standing(case(waterings_days_ago=[4])), WET) == pytest.approx(0)
    assert prior_decibans(standing(case(waterings_days_ago=[1, 2, 9])), WET) == pytest.approx(2)


def test_shifts_weigh_as_much_as_their_facts_are_certain() -> None:
    """Half certain, half the decibans; certainty passes through conditions."""
    told = replace(case(), habits=(Habit("lid_open", Origin.LETTER, certainty=0.5),))
    assert prior_decibans(standing(told), DRY) == pytest.approx(4.5)


def test_ruled_out_by_records_takes_thirty_decibans_and_never_everything() -> None:
    """A measured 99 % makes too dry a thousand times less likely, and it can still win."""
    found = standing(case(("moss_brown_tips", "moss_limp"), humidity_pct=99.0))
    assert prior_decibans(found, DRY) == pytest.approx(-30)
    assert found.belief.holds[DRY] > 0
    assert prior_decibans(standing(case(humidity_pct=98.0)), DRY) == pytest.approx(0)


def test_wording_alone_rules_nothing_out() -> None:
    """The same 99 %, only told, counts as "strongly", times its certainty."""
    told = Measure("relative_humidity_mean", 99.0, "%", Origin.LETTER, certainty=0.7)
    found = standing(replace(case(), measures=(told,)))
    assert prior_decibans(found, DRY) == pytest.approx(-9 * 0.7)
    firing = next(firing for firing in found.firings if firing.rule == "jar_too_dry/ruled_out_by/1")
    shift = small_rulebook().shifts[firing.rule]
    assert shift_decibans(small_rulebook(), shift, replace(firing, certainty=1.0)) == -30


def test_links_with_a_context_hold_only_there() -> None:
    """Slime is a sign of thirst only for thin leaves in dry air; of an unknown kind it is held possible by half."""
    assert "moss_slimy" not in links(standing(case()))["jar_too_dry"]
    assert links(standing(case(humidity_pct=50.0)))["jar_too_dry"]["moss_slimy"] == 0.1
    assert links(standing(case(humidity_pct=50.0, group="")))["jar_too_dry"]["moss_slimy"] == 0.05


def test_of_several_rules_for_one_sign_the_most_frequent_counts() -> None:
    """Written twice without context, or once more with a context that holds: the larger frequency, never both."""
    everywhere, in_dry_air = AllOf(()), AllOf((Atom("condition", ("air_dry",)),))
    rulebook = with_shows("jar_too_dry", ("moss_limp", 0.1, everywhere), ("moss_brown_tips", 0.9, in_dry_air),
                          ("moss_limp", 0.3, in_dry_air))
    usual = links(stand(rulebook, case()))["jar_too_dry"]
    assert usual == {"moss_brown": 0.6, "moss_brown_tips": 0.6, "moss_limp": 0.6}
    dry = links(stand(rulebook, case(humidity_pct=50.0)))["jar_too_dry"]
    assert (dry["moss_limp"], dry["moss_brown_tips"], dry["moss_brown"]) == (0.6, 0.9, 0.9)


def test_a_frequency_that_is_written_goes_before_one_that_follows() -> None:
    """A mite written to show brown tips at 0.1 does so, though a fifth of its brown moss would be 0.12."""
    found = stand(with_shows("moss_mite", ("moss_brown_tips", 0.1, AllOf(()))), case())
    assert links(found)["moss_mite"]["moss_brown_tips"] == 0.1


def test_conditions_may_be_given() -> None:
    """A condition taken as holding shifts the odds though no fact supports it."""
    found = stand(small_rulebook(), case(), given=["air_dry"])
    assert prior_decibans(found, DRY) == pytest.approx(9)


def test_an_absent_sign_is_evidence_and_an_unseen_or_unsure_one_is_not() -> None:
    """Dry glass speaks against too wet; glass nobody looked at, or is sure of, leaves everything as it was."""
    plain = standing(case(("moss_limp",)))
    absent = standing(case(("moss_limp",), ("glass_fogged",)))
    unsure = standing(replace(case(("moss_limp",)), signs=seen(["moss_limp"]) + seen(["glass_fogged"], State.UNSURE)))
    assert absent.belief.holds[WET] < 0.2 * plain.belief.holds[WET]
    assert absent.belief.holds[DRY] > plain.belief.holds[DRY]
    np.testing.assert_array_equal(unsure.probability, plain.probability)


def test_belief_is_that_of_the_network_by_every_switch() -> None:
    """The whole chain of a case against the long way round (see brute.py)."""
    facts = case(("moss_limp", "moss_brown"), ("web_fine",), humidity_pct=60.0, waterings_days_ago=[1])
    found = standing(facts)
    expected = by_switches(found.network, found.observed)
    np.testing.assert_allclose(found.belief.accounts, expected.accounts, atol=1e-12)
    np.testing.assert_allclose(found.belief.holds, expected.holds, atol=1e-12)


@pytest.mark.parametrize(("present", "absent", "kept_present", "kept_absent"), [
    (["moss_brown_tips"], [], ["moss_brown_tips"], []),
    (["moss_brown_tips", "moss_brown"], [], ["moss_brown_tips"], []),
    (["moss_brown"], ["moss_brown_tips"], ["moss_brown"], ["moss_brown_tips"]),
    (["moss_brown_tips"], ["moss_brown"], ["moss_brown_tips"], []),
    ([], ["moss_brown", "moss_brown_tips"], [], ["moss_brown"]),
    ([], ["moss_brown_tips"], [], ["moss_brown_tips"]),
])
def test_what_another_sign_implies_counts_once(
        present: list[str], absent: list[str], kept_present: list[str], kept_absent: list[str]) -> None:
    """Brown tips are brown moss; no brown moss means no brown tips; the other way round nothing follows."""
    observed = standing(case(present, absent)).observed
    assert [SIGNS[n] for n in observed.present] == kept_present
    assert [SIGNS[n] for n in observed.absent] == kept_absent


@pytest.mark.parametrize(("origin", "certainty", "wrong"), [
    (Origin.LETTER, 1.0, 0.02), (Origin.LETTER, 0.6, 0.02 + 0.4 * 0.1), (Origin.ANSWER, 0.6, 0.4),
    (Origin.CARE_LOG, 1.0, 0.0)])
def test_a_sign_may_be_there_in_words_alone(origin: Origin, certainty: float, wrong: float) -> None:
    """A letter may be misread (0.02, and 0.1 of what it is unsure), an answer be a slip as far as unsure, a log not."""
    told = SeenSign("moss_limp", State.PRESENT, origin, certainty=certainty)
    found = standing(replace(case(), signs=(told,)))
    background = dict(zip(SIGNS, found.network.background.tolist(), strict=True))
    assert background["moss_limp"] == pytest.approx(1 - (1 - 0.02) * (1 - wrong))
    assert background["moss_brown"] == pytest.approx(0.02)


def test_a_sign_may_be_denied_by_a_slip() -> None:
    """What an answer denies may be there all the same, as far as it is unsure; the rest keeps its frequency."""
    denied = SeenSign("moss_limp", State.ABSENT, Origin.ANSWER, certainty=0.99)
    found = links(standing(replace(case(), signs=(denied,))))["jar_too_dry"]
    assert [found["moss_limp"], found["moss_brown"]] == pytest.approx([0.6 * 0.99, 0.6])
    told = replace(case(), signs=(SeenSign("moss_limp", State.ABSENT, Origin.LETTER),))
    assert links(standing(told))["jar_too_dry"]["moss_limp"] == 0.6


def test_of_two_states_of_a_sign_the_surer_counts() -> None:
    """Seen for sure beats told to be absent; where both are as sure, seen beats not seen."""
    sure, unsure = seen(["moss_limp"]), seen(["moss_limp"], State.ABSENT, certainty=0.6)
    for signs in (sure + unsure, unsure + sure, sure + seen(["moss_limp"], State.ABSENT)):
        observed = standing(replace(case(), signs=signs)).observed
        assert (len(observed.present), len(observed.absent)) == (1, 0)
    denied = seen(["moss_limp"], certainty=0.5) + seen(["moss_limp"], State.ABSENT, certainty=0.6)
    assert standing(replace(case(), signs=denied)).observed.absent == (SIGNS.index("moss_limp"),)


def test_signs_nobody_knows_are_left_out() -> None:
    """A sign that the rule base does not hold changes nothing."""
    np.testing.assert_array_equal(standing(case(("moss_limp", "humming"))).probability,
                                  standing(case(("moss_limp",))).probability)


def test_many_remarks_are_damped_by_the_stated_formula() -> None:
    """log(posterior odds / prior odds) times (3 / remarks) ** 0.43 above three remarks, after exact belief."""
    few = case(("moss_brown_tips", "moss_limp"), ("glass_fogged",))
    np.testing.assert_allclose(standing(few).probability, standing(few).belief.accounts, atol=1e-12)
    found = standing(case(("moss_brown_tips", "moss_limp"), ("glass_fogged", "grit_white"), humidity_pct=50.0))
    exact, factor = by_switches(found.network, found.observed).accounts, (3 / 4) ** 0.43
    for cause in (DRY, WET, MITE):
        prior = logit(float(found.network.prior[cause]))
        expected = prior + factor * (logit(float(exact[cause])) - prior)
        assert logit(float(found.probability[cause])) == pytest.approx(expected, abs=1e-9)


def test_signs_of_one_answer_are_one_remark() -> None:
    """Four signs settled by two answers are no reason to damp."""
    found = standing(case(("moss_slimy",), ("moss_brown", "glass_fogged", "web_fine")))
    np.testing.assert_allclose(found.probability, found.belief.accounts, atol=1e-12)


def test_a_cause_that_explains_nothing_seen_does_not_lead() -> None:
    """However likely the records make it, a cause is only named for what it switched on."""
    found = standing(case(("web_fine",), humidity_pct=40.0))
    assert found.belief.holds[DRY] > 0.25
    assert found.probability[DRY] == 0.0
    assert found.probability.argmax() == MITE


def test_the_best_explanation_covers_what_was_seen_and_says_what_it_leaves() -> None:
    """One cause where one will do, two where not; against every set reckoned by hand."""
    one, two = standing(case(("moss_limp", "moss_brown_tips"))), standing(case(("web_fine", "glass_fogged")))
    assert (one.best, two.best) == ((DRY,), (WET, MITE))
    assert (one.unexplained, two.unexplained) == ((), ())
    network, observed = two.network, two.observed
    covering = [group for size in (1, 2, 3) for group in itertools.combinations(range(3), size)
                if all(network.frequency[list(group), s].any() for s in observed.present)]
    lean = [group for group in covering if not any(set(other) < set(group) for other in covering)]
    assert max(lean, key=lambda group: set_weight(network, observed, group)) == two.best


def test_the_order_of_facts_does_not_matter() -> None:
    """Signs, habits, events and measures in any order come to the same belief and the same firings."""
    signs = seen(["moss_limp", "moss_brown"]) + seen(["web_fine", "glass_fogged"], State.ABSENT)
    habits = (Habit("misting", Origin.ANSWER, False), Habit("lid_open", Origin.LETTER, certainty=0.7))
    events = (Event("water", 2, Origin.CARE_LOG), Event("move", 9, Origin.LETTER))
    measures = (Measure("relative_humidity_mean", 61.0, "%", Origin.CLIMATE_LOG, 30),
                Measure("relative_humidity_mean", 80.0, "%", Origin.CLIMATE_LOG, 7))
    found = []
    for order in itertools.permutations(range(4)):
        step = -1 if order[0] % 2 else 1
        facts = Case(DATE, PlantContext(group="tall_moss"), tuple(signs[n] for n in order), measures[::step],
                     events[::step], habits[::step])
        found.append(standing(facts))
    for other in found[1:]:
        np.testing.assert_array_equal(other.probability, found[0].probability)
        assert other.firings == found[0].firings
        assert (other.best, other.nothing_fits) == (found[0].best, found[0].nothing_fits)


def test_a_case_without_any_fact_says_nothing() -> None:
    """No sign, no cause accounted for, no explanation."""
    found = standing(Case(DATE))
    assert not found.probability.any()
    assert (found.best, found.unexplained, found.approximate) == ((), (), False)


def test_a_sign_only_wondered_at_counts_where_no_other_is_told() -> None:
    """A letter's question is all there is to go by; beside a sign that is told it is no evidence."""
    asked = SeenSign("web_fine", State.UNSURE, Origin.LETTER)
    alone = standing(replace(case(), signs=(asked,)))
    beside = standing(replace(case(), signs=(asked, SeenSign("moss_slimy", State.PRESENT, Origin.LETTER))))
    answered = standing(replace(case(), signs=(replace(asked, origin=Origin.ANSWER),)))
    web = SIGNS.index("web_fine")
    assert alone.observed.present == (web,)
    assert web not in beside.observed.present
    assert answered.observed.present == ()
    told = standing(replace(case(), signs=(replace(asked, state=State.PRESENT),)))
    assert alone.probability[MITE] < told.probability[MITE]
