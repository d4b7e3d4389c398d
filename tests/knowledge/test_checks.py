"""The checks over a whole rule base. Each code has its planted mistake in tests/mistakes; here is what is left."""

from __future__ import annotations

from pathlib import Path

import pytest

from diagnose.knowledge.checks import CHECKS, run_checks
from diagnose.knowledge.folder import load
from diagnose.knowledge.form import COMMON_PRACTICE
from diagnose.knowledge.possible import can_hold
from diagnose.knowledge.support import RANKS, rank_of, support, without_authority
from diagnose.model.facts import MeasureRequest
from diagnose.model.knowledge import AllOf, AnyOf, Atom, Bound, Claim, EventTest, MeasureTest, Test
from diagnose.problems import Where
from diagnose.reason.examples import failed_examples
from diagnose.reason.rulebook import Rulebook
from tests.knowledge.planted import plant
from tests.own import own_base, own_rulebook
from tests.small import small_base, small_rulebook

DRY = "causes/climate/jar_too_dry.yaml"


def test_the_own_rule_base_gives_no_finding() -> None:
    """Neither a check nor a worked example finds anything to mend."""
    assert run_checks(own_base()) == []
    assert list(failed_examples(own_rulebook())) == []


def test_every_check_says_what_it_looks_for() -> None:
    """A check has a docstring of one sentence or more."""
    assert all((check.__doc__ or "").strip().endswith(".") for check in CHECKS.values())


def test_the_examples_of_the_small_rule_base_come_out_as_stated() -> None:
    """What the next tests plant their mistakes in is right."""
    assert list(failed_examples(small_rulebook())) == []


@pytest.mark.parametrize(("old", "new", "report"), [
    ("signs: [moss_brown_tips, moss_limp]\n    absent: [glass_fogged]", "signs: [glass_fogged]",
     'small_base/causes/climate/jar_too_dry.yaml:66:5: "jar_too_dry" should win here; first are jar_too_wet, '
     "jar_too_dry, moss_mite. [example-fails]"),
    ("signs: [moss_limp, glass_fogged]", "signs: [moss_limp, moss_brown_tips]",
     'small_base/causes/climate/jar_too_dry.yaml:71:5: "jar_too_dry" should lose to jar_too_wet here; first are '
     "jar_too_dry, jar_too_wet, moss_mite. [example-fails]"),
])
def test_an_example_that_fails_is_reported(old: str, new: str, report: str, tmp_path: Path) -> None:
    """Example, what it should come to, and what comes first instead."""
    base = load(plant([{"file": DRY, "old": old, "new": new}], tmp_path))
    assert [str(problem).replace(f"{tmp_path}/", "") for problem in failed_examples(Rulebook(base))] == [report]


def test_a_claim_counts_under_its_strongest_source() -> None:
    """Authority before trade, trade before questions and answers, and those before common practice."""
    base, here = own_base(), Where("here")
    claims = {("common practice",): COMMON_PRACTICE, ("QA_MG", "common practice"): "question and answer",
              ("TR_PH", "QA_MG"): "trade", ("TR_PH", "PNW_VIRUS", "common practice"): "published authority"}
    assert {sources: rank_of(base, Claim("", sources, here)) for sources in claims} == claims


def test_every_claim_is_counted_once() -> None:
    """The counts by rank add up to the claims of conditions and causes."""
    base = small_base()
    claims = len(base.conditions) + sum(len(cause.claims) for cause in base.causes.values())
    assert sum(support(base).values()) == claims
    assert tuple(support(base)) == RANKS
    assert without_authority(base) == []


REQUEST = MeasureRequest("relative_humidity_mean", 30)
POSSIBLE: list[tuple[Test, bool]] = [
    (AllOf(()), True),
    (Atom("stage", ("resting", "in_bud")), True),
    (AllOf((Atom("stage", ("resting", "in_bud")), Atom("stage", ("in_bud",)))), True),
    (AllOf((Atom("stage", ("resting",)), Atom("stage", ("in_bud",)))), False),
    (AllOf((Atom("sign", ("a",)), Atom("sign", ("b",)))), True),
    (AllOf((Atom("sign", ("a",)), Atom("sign", ("a",), wanted=False))), False),
    (AllOf((Atom("sign", ("a",)), Atom("sign", ("a", "b"), wanted=False))), True),
    (AllOf((Atom("condition", ("a",)), Atom("condition", ("a", "b"), wanted=False))), False),
    (AnyOf((AllOf((Atom("place", ("indoors",)), Atom("place", ("outdoors",)))), Atom("size", ("young",)))), True),
    (AllOf((AnyOf((Atom("place", ("indoors",)), Atom("size", ("young",)))), Atom("place", ("outdoors",)))), True),
    (AllOf((AnyOf((Atom("place", ("indoors",)),)), Atom("place", ("outdoors", "greenhouse")))), False),
    (AllOf((EventTest("water", 3), EventTest("water", 10, happened=False))), False),
    (AllOf((EventTest("water", 20), EventTest("water", 10, happened=False))), True),
    (AllOf((EventTest("water", 3), EventTest("water", 10, within=False))), False),
    (AllOf((EventTest("water", 30), EventTest("water", 10, within=False))), True),
    (AllOf((EventTest("water", 3), EventTest("feed", 10, happened=False))), True),
    (AllOf((MeasureTest(REQUEST, True, Bound(60)), MeasureTest(REQUEST, False, Bound(40)))), False),
    (AllOf((MeasureTest(REQUEST, True, Bound(40)), MeasureTest(REQUEST, False, Bound(60)))), True),
    (AllOf((MeasureTest(REQUEST, True, Bound(2, "humidity_low_pct")), MeasureTest(REQUEST, False, Bound(1)))), True),
    (MeasureTest(REQUEST, True, Bound(0, "bloom_cue_weeks")), False),
    (AllOf((Atom("group", ("tall_moss",)), Atom("trait", ("thin_leaves",)))), True),
    (AllOf((Atom("group", ("unknown",)), Atom("trait", ("thin_leaves",)))), False),
    (Atom("trait", ("reed_stem",)), False),
]


@pytest.mark.parametrize(("test", "possible"), POSSIBLE)
def test_what_can_hold(test: Test, possible: bool) -> None:
    """Contradictions of contexts, events, measures, groups and traits, also inside alternatives."""
    assert can_hold(small_base(), test) is possible
