"""Why: each finding with the decibans that the odds lose without it, its reason, its source and where it came from."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from diagnose.model.facts import Case, Habit, Origin, SeenSign, State
from diagnose.model.knowledge import AllOf, Atom
from diagnose.model.result import Evidence
from diagnose.reason import explain
from diagnose.reason.belief import Variant
from diagnose.reason.explain import Explainer
from diagnose.reason.standing import Standing, stand
from tests.reason.brute import by_switches
from tests.small import case, small_base, small_rulebook, with_shows

DRY, WET, MITE = range(3)
SIGNS = small_rulebook().signs
FULL = case(("moss_limp", "moss_brown"), ("web_fine", "grit_white"), humidity_pct=60.0, waterings_days_ago=[1],
            habits=[("misting", False)])


@pytest.fixture(autouse=True)
def everything_shown(monkeypatch: pytest.MonkeyPatch) -> None:
    """Findings of hardly any weight too."""
    monkeypatch.setattr(explain, "LEAST_DECIBANS", 0.0)


def standing(facts: Case) -> Standing:
    """The case reasoned through."""
    return stand(small_rulebook(), facts, explained=True)


def evidence(facts: Case, cause: int) -> dict[str, Evidence]:
    """All evidence on a cause, by finding."""
    for_, against = Explainer(small_rulebook(), standing(facts)).explain(cause)
    return {found.finding: found for found in (*for_, *against)}


def decibans(chance: float) -> float:
    """Ten times the decimal logarithm of the odds."""
    return 10 * math.log10(chance / (1 - chance))


@pytest.mark.parametrize("cause", [DRY, WET, MITE])
@pytest.mark.parametrize(("finding", "sign"), [
    ("Limp moss", "moss_limp"), ("Brown moss", "moss_brown"), ("Not seen: Fine threads", "web_fine"),
    ("Not seen: White grit", "grit_white")])
def test_a_sign_weighs_what_the_odds_lose_without_it(cause: int, finding: str, sign: str) -> None:
    """Reckoned anew by every switch (see brute.py), with the sign as if nobody had looked, to 0.05 decibans."""
    found = standing(FULL)
    column = SIGNS.index(sign)
    variant = Variant((column,)) if column in found.observed.present else Variant((), (column,))
    lost = (decibans(float(by_switches(found.network, found.observed).accounts[cause]))
            - decibans(float(by_switches(found.network, found.observed, variant).accounts[cause])))
    shown = evidence(FULL, cause).get(finding)
    assert (shown.decibans if shown else 0.0) == pytest.approx(lost, abs=0.0500001)


@pytest.mark.parametrize(("cause", "without", "finding"), [
    (DRY, replace(FULL, measures=()), "The air in the jar is dry (60 %)"),
    (WET, replace(FULL, events=()), "1 days ago"),
    (MITE, replace(FULL, habits=()), "Dry air that nobody mists (60 %)"),
])
def test_a_shift_weighs_what_the_odds_lose_without_its_fact(cause: int, without: Case, finding: str) -> None:
    """Reckoned anew with the prior that the cause has without the fact behind the shift, to 0.05 decibans."""
    found = standing(FULL)
    prior = found.network.prior.copy()
    prior[cause] = standing(without).network.prior[cause]
    assert prior[cause] != found.network.prior[cause]
    anew = by_switches(replace(found.network, prior=prior), found.observed)
    lost = decibans(float(found.belief.accounts[cause])) - decibans(float(anew.accounts[cause]))
    assert evidence(FULL, cause)[finding].decibans == pytest.approx(lost, abs=0.0500001)


def test_ruled_out_is_shown_with_its_weight() -> None:
    """Thirty decibans against, since the cause was unlikely before (odds, not probabilities, are moved)."""
    found = evidence(case(("moss_limp",), humidity_pct=99.0), DRY)
    assert found["99 %"].decibans == pytest.approx(-30, abs=1.0)
    assert found["99 %"].because == "No moss dries in air that is full of water."


def test_evidence_keeps_reason_source_and_origin() -> None:
    """The sentence of the rule that fired, its sources, and where its facts came from."""
    found = evidence(FULL, DRY)
    assert (found["Limp moss"].because, found["Limp moss"].source, found["Limp moss"].from_) == (
        "Dry moss folds and stays down.", "JAR_BOOK", "answer")
    air = found["The air in the jar is dry (60 %)"]
    assert (air.because, air.source, air.from_) == ("Dry air draws water out of moss.", "JAR_BOOK", "climate log")
    watered = evidence(FULL, WET)["1 days ago"]
    assert (watered.source, watered.from_) == ("common practice", "care log")


def test_firings_keep_rule_and_facts_through_conditions() -> None:
    """What lies behind a shift is found through two layers of conditions: the measure and the denied habit."""
    found = standing(FULL)
    firing = next(firing for firing in found.firings if firing.rule == "moss_mite/favoured_by/1")
    assert firing.matched == ("condition=mite_weather",)
    behind = Explainer(small_rulebook(), found)._facts_behind(firing)
    assert {(fact.origin, fact.shown) for fact in behind} == {(Origin.CLIMATE_LOG, "60 %"), (Origin.ANSWER, "")}
    by_rule = {firing.rule: firing.matched for firing in found.firings}
    assert by_rule["condition/mite_weather"] == ("condition=air_dry", "habit=misting:denied")
    assert by_rule["jar_too_dry/shows/2"] == ("sign=moss_limp:looked",)
    assert "jar_too_dry/shows/1" not in by_rule


def test_a_link_through_a_related_sign_gives_that_rule() -> None:
    """Too dry shows brown moss since it shows brown tips: the reason is that of the tips."""
    assert evidence(case(("moss_brown",)), DRY)["Brown moss"].because == "The tips dry first."
    assert evidence(case(("moss_brown_tips",)), MITE)["Brown tips"].because == "Sucked leaves turn brown."


def test_the_rule_of_the_sign_itself_goes_before_a_more_frequent_related_one() -> None:
    """Mites written to show brown tips, if rarely, give that reason for tips and the other for brown moss."""
    rulebook = with_shows("moss_mite", ("moss_brown_tips", 0.1, AllOf(())))
    for sign, name, reason in [("moss_brown_tips", "Brown tips", "why 1"),
                               ("moss_brown", "Brown moss", "Sucked leaves turn brown.")]:
        for_, against = Explainer(rulebook, stand(rulebook, case((sign,)), explained=True)).explain(MITE)
        assert {found.finding: found.because for found in (*for_, *against)}[name] == reason


def test_a_rule_whose_context_does_not_hold_gives_no_reason() -> None:
    """A more frequent rule for dry air is quoted in dry air only."""
    rulebook = with_shows("jar_too_dry", ("moss_limp", 0.9, AllOf((Atom("condition", ("air_dry",)),))))
    for humidity_pct, reason in [(50.0, "why 1"), (80.0, "Dry moss folds and stays down.")]:
        standing_there = stand(rulebook, case(("moss_limp",), humidity_pct=humidity_pct), explained=True)
        for_, _ = Explainer(rulebook, standing_there).explain(DRY)
        assert {found.finding: found.because for found in for_}["Limp moss"] == reason


def test_what_a_cause_does_not_show_speaks_against_it() -> None:
    """Threads take odds from a dry jar only through the mite that explains the rest."""
    found = evidence(case(("moss_brown", "web_fine")), DRY)["Fine threads"]
    assert found.decibans < 0
    assert (found.because, found.source) == ("This cause does not explain it, or another explains it better.", "")


def test_an_absent_sign_says_how_often_the_cause_shows_it() -> None:
    """Against the cause that shows it; in favour of its rival."""
    facts = case(("moss_limp",), ("glass_fogged",))
    against, in_favour = evidence(facts, WET)["Not seen: Fogged glass"], evidence(facts, DRY)["Not seen: Fogged glass"]
    assert (against.because, against.source) == ("This cause shows it nearly always.", "JAR_BOOK")
    assert against.decibans < -5
    assert in_favour.because == "Other causes would show it more."
    assert in_favour.decibans > 0


def test_signs_denied_in_one_answer_fall_together_and_others_do_not() -> None:
    """Fog and threads belong to one question and one finding; grit to another."""
    facts = case(("moss_brown",), ("glass_fogged", "web_fine", "grit_white"))
    found = evidence(facts, MITE)
    assert {name for name in found if name.startswith("Not seen")} == {"Not seen: Fine threads", "Not seen: White grit"}
    network, observed = standing(facts).network, standing(facts).observed
    both = Variant((), (SIGNS.index("glass_fogged"), SIGNS.index("web_fine")))
    lost = [decibans(float(by_switches(network, observed, variant).accounts[WET])) for variant in (Variant(), both)]
    assert evidence(facts, WET)["Not seen: Fogged glass"].decibans == pytest.approx(lost[0] - lost[1], abs=0.0500001)


def test_signs_denied_in_one_stretch_of_a_letter_fall_together() -> None:
    """The same words at the same place are one remark; the same words elsewhere are another."""
    def told(sign: str, start: int) -> SeenSign:
        return SeenSign(sign, State.ABSENT, Origin.LETTER, "no trace of it", start, start + 14)

    brown = case(("moss_brown",))
    together = replace(brown, signs=(*brown.signs, told("web_fine", 7), told("grit_white", 7)))
    apart = replace(brown, signs=(*brown.signs, told("web_fine", 7), told("grit_white", 90)))
    assert sum(name.startswith("Not seen") for name in evidence(together, MITE)) == 1
    assert sum(name.startswith("Not seen") for name in evidence(apart, MITE)) == 2


def test_evidence_is_split_by_its_sign_and_sorted_by_its_weight() -> None:
    """Strongest first on both sides, none on the wrong side."""
    for cause in (DRY, WET, MITE):
        for_, against = Explainer(small_rulebook(), standing(FULL)).explain(cause)
        assert all(found.decibans >= 0 for found in for_)
        assert all(found.decibans <= 0 for found in against)
        for side in (for_, against):
            assert [abs(found.decibans) for found in side] == sorted((abs(f.decibans) for f in side), reverse=True)


def test_what_hardly_weighs_is_not_shown(monkeypatch: pytest.MonkeyPatch) -> None:
    """Below a quarter of a deciban a finding is left out."""
    monkeypatch.setattr(explain, "LEAST_DECIBANS", 0.25)
    for cause in (DRY, WET, MITE):
        assert all(abs(found.decibans) >= 0.2 for found in evidence(FULL, cause).values())
    assert len(evidence(FULL, DRY)) < 9


def test_a_context_that_did_not_fire_is_no_reason() -> None:
    """Without dry air a dry jar shows no slime, and its rule is not quoted."""
    found = evidence(case(("moss_slimy", "moss_limp")), DRY)
    assert found["Slimy moss"].because.startswith("This cause does not explain it")
    dry = evidence(case(("moss_slimy", "moss_limp"), humidity_pct=50.0), DRY)
    assert dry["Slimy moss"].because == "Thin leaves that dried and were drowned turn to slime."


def test_a_condition_that_did_not_hold_is_named_as_such() -> None:
    """"Not so" stands before a condition whose absence speaks for a cause."""
    facts = replace(case(("moss_limp",)), habits=(Habit("misting", Origin.LETTER, quote="I mist it daily"),))
    found = evidence(facts, WET)
    (name,) = [finding for finding in found if "I mist it daily" in finding]
    assert found[name].because == "Mist adds up where the air is not dry."
    assert found[name].from_ == "letter"
    assert small_base().habits["misting"].name in name or small_base().conditions["air_dry"].name in name
