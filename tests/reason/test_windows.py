"""When the damage arose: windows of what made a cause likelier, up to the onset of the trouble."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from diagnose.model.facts import Event, Measure, MeasureRequest, Origin
from diagnose.model.history import DamageWindow, StageSpan
from diagnose.model.knowledge import AllOf, AnyOf, Bound, EventTest, MeasureTest
from diagnose.reason.rulebook import Rulebook
from diagnose.reason.standing import stand
from diagnose.reason.windows import damage_windows
from tests.small import DATE, case, small_base, small_rulebook


def with_air_dry(when: AnyOf | AllOf) -> Rulebook:
    """The small rule base with another test for dry air."""
    base = small_base()
    dry = replace(base.conditions["air_dry"], when=when)
    return Rulebook(replace(base, conditions={**base.conditions, "air_dry": dry}))


def test_a_measure_gives_the_window_it_was_taken_over() -> None:
    """Thirty dry days up to the date stand behind the dry jar, once, with the figure."""
    standing = stand(small_rulebook(), case(["moss_brown_tips"], humidity_pct=30.0))
    assert damage_windows(small_rulebook(), standing, "jar_too_dry") == (
        DamageWindow("jar_too_dry", DATE - dt.timedelta(29), DATE, "The air in the jar is dry",
                     "relative_humidity_mean", "30 %"),)


def test_windows_end_at_the_onset() -> None:
    """Where the trouble began ten days ago, the thirty days before count."""
    facts = case(["moss_brown_tips"], humidity_pct=30.0)
    facts = replace(facts, onset_days_ago=10, measures=(replace(facts.measures[0], ended_days_ago=10),))
    window = damage_windows(small_rulebook(), stand(small_rulebook(), facts), "jar_too_dry")[0]
    assert (window.first, window.last) == (DATE - dt.timedelta(39), DATE - dt.timedelta(10))


def test_what_is_only_told_has_no_window() -> None:
    """A lid told to be open makes the air dry, but nobody knows since when."""
    standing = stand(small_rulebook(), case(["moss_brown_tips"], habits=[("lid_open", True)]))
    assert damage_windows(small_rulebook(), standing, "jar_too_dry") == ()


def test_what_speaks_against_a_cause_has_no_window() -> None:
    """Dry days are no window of the jar that is too wet."""
    standing = stand(small_rulebook(), case(["moss_slimy"], humidity_pct=30.0))
    assert damage_windows(small_rulebook(), standing, "jar_too_wet") == ()


def test_a_link_to_a_sign_that_is_there_gives_its_window() -> None:
    """Slime shown where the air was dry names the dry days, even for a cause that has no other rule on them."""
    standing = stand(small_rulebook(), case(["moss_slimy"], humidity_pct=30.0))
    assert [window.measure for window in damage_windows(small_rulebook(), standing, "jar_too_dry")] == [
        "relative_humidity_mean"]


def test_a_deed_gives_its_day_and_an_omission_its_days() -> None:
    """A move has the day on which it was done; not having watered has all the days."""
    rulebook = with_air_dry(AllOf((EventTest("move", 14), EventTest("water", 20, happened=False))))
    facts = replace(case(["moss_brown_tips"]), events=(
        Event("move", 5, Origin.LETTER, quote="I moved it"), Event("move", 40, Origin.LETTER),
        Event("water", 25, Origin.CARE_LOG, happened=False)))
    windows = damage_windows(rulebook, stand(rulebook, facts), "jar_too_dry")
    assert [(window.first, window.last) for window in windows] == [
        (DATE - dt.timedelta(19), DATE), (DATE - dt.timedelta(5), DATE - dt.timedelta(5))]
    assert windows[1].shown == "I moved it"


def test_a_stage_gives_its_days() -> None:
    """A measure taken while the growth formed has the days of that stage, and none where they are not known."""
    request = MeasureRequest("relative_humidity_mean", 0, during="growth_forming")
    rulebook = with_air_dry(AnyOf((MeasureTest(request, above=False, bound=Bound(40.0)),)))
    measure = Measure("relative_humidity_mean", 30.0, "%", Origin.CLIMATE_LOG, during="growth_forming")
    standing = stand(rulebook, replace(case(["moss_brown_tips"]), measures=(measure,)))
    span = StageSpan("growth_forming", dt.date(2026, 1, 1), dt.date(2026, 2, 1))
    window = damage_windows(rulebook, standing, "jar_too_dry", [span])[0]
    assert (window.first, window.last) == (span.first, span.last)
    assert damage_windows(rulebook, standing, "jar_too_dry") == ()
