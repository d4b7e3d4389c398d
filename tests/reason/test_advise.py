"""Advice that fits the case: its own figures, its context, and what is said where a figure is unknown."""

from __future__ import annotations

from dataclasses import replace

from diagnose.model.facts import Case, Measure, Origin
from diagnose.reason.advise import AdviceFound, advise
from diagnose.reason.standing import stand
from tests.small import case, small_rulebook

MIST = "Mist until the air stands above 70 percent; it stands at 62.5 percent."
OTHERWISE = "Mist twice a day and close the lid."


def advice(facts: Case, *suspected: str) -> dict[str, AdviceFound]:
    """Advice for the suspected causes."""
    return dict(advise(small_rulebook(), stand(small_rulebook(), facts), suspected))


def test_figures_of_the_case_and_needs_of_the_group_are_filled_in() -> None:
    """Three digits of the measure, the need as written."""
    assert advice(case(humidity_pct=62.5), "jar_too_dry")["jar_too_dry"].do == (MIST,)
    assert advice(case(humidity_pct=62.54), "jar_too_dry")["jar_too_dry"].do == (MIST,)


def test_the_other_sentence_stands_where_a_figure_is_unknown() -> None:
    """No measure, no figure: never a gap and never a guess."""
    assert advice(case(), "jar_too_dry")["jar_too_dry"].do == (OTHERWISE,)


def test_needs_are_those_of_the_plant_s_group() -> None:
    """An unnamed plant is advised by the middle values of the unknown group."""
    assert advice(case(humidity_pct=62.5, group=""), "jar_too_dry")["jar_too_dry"].do[0].startswith(
        "Mist until the air stands above 60 percent")


def test_of_several_figures_the_surest_and_most_usual_is_used() -> None:
    """What the log measured over thirty days up to now goes before other windows and before what was told."""
    def measured(value: float, window_days: int, ended_days_ago: int, certainty: float = 1.0) -> Measure:
        return Measure("relative_humidity_mean", value, "%", Origin.CLIMATE_LOG, window_days, ended_days_ago,
                       certainty=certainty)

    usual = measured(62.5, 30, 0)
    others = (measured(50.0, 7, 0), measured(51.0, 30, 21), measured(52.0, 30, 0, certainty=0.7))
    for measures in ((usual, *others), (*others, usual)):
        assert advice(replace(case(), measures=measures), "jar_too_dry")["jar_too_dry"].do == (MIST,)


def test_context_decides_which_advice_fires() -> None:
    """The lid is only to be closed where it is off; now comes before later."""
    found = advice(case(habits=[("lid_open", True)]), "jar_too_dry")["jar_too_dry"]
    assert found.do == (OTHERWISE, "Close the lid.")
    closed = advice(case(habits=[("lid_open", False)]), "jar_too_dry")["jar_too_dry"]
    assert closed.do == (OTHERWISE,)


def test_advice_may_rest_on_another_suspicion() -> None:
    """With mites suspected as well, the dry jar's advice points to threads; later steps come last."""
    found = advice(case(habits=[("lid_open", True)]), "jar_too_dry", "moss_mite")
    assert found["jar_too_dry"].do == (OTHERWISE, "Close the lid.", "Look for threads as well.")
    assert found["moss_mite"].do == ("Keep this jar away from the others.",)


def test_only_suspected_causes_are_advised_on() -> None:
    """Each suspected cause has its own advice, also on what never to do; the others have none."""
    found = advice(case(), "jar_too_wet")
    assert found == {"jar_too_wet": AdviceFound(("Leave the lid off for a day.",), ("Do not mist.",))}
    assert advice(case()) == {}


def test_what_never_to_do_stands_apart() -> None:
    """Warnings are not mixed with steps, and steps for another context are left out."""
    found = advice(case(), "jar_too_dry")["jar_too_dry"]
    assert found.do_not == ("Do not soak dry moss under a tap.",)
    assert "Close the lid." not in found.do
