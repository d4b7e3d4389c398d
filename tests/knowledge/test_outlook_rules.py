"""knowledge/outlook.yaml and season.yaml: read as they stand, and each mistake reported in its place."""

from __future__ import annotations

import pytest

from diagnose.knowledge.form import Form
from diagnose.knowledge.outlook import read_outlook
from diagnose.knowledge.season import read_season
from diagnose.knowledge.store import default_folder
from diagnose.marked_yaml import Pairs, parse_marked
from diagnose.model.outlook import Days
from tests.own import own_base

OUTLOOK = (default_folder() / "outlook.yaml").read_text(encoding="utf-8")
SEASON = (default_folder() / "season.yaml").read_text(encoding="utf-8")


def form() -> Form:
    """A form that knows the ids of the rule base."""
    base = own_base()
    ids = {"cause": base.causes, "sign": base.signs, "group": base.groups, "condition": base.conditions,
           "measure": base.measures, "habit": base.habits, "source": base.sources}
    units = {f"unit of {measure.id}": {measure.unit} for measure in base.measures.values()}
    windowed = {measure.id for measure in base.measures.values() if measure.windowed}
    return Form({**ids, **units, **own_base().terms.by_kind, "windowed measure": windowed})


def problems(text: str, *, season: bool = False) -> list[str]:
    """The codes reported of a text."""
    root, checked = parse_marked(text, "file.yaml"), form()
    assert isinstance(root, Pairs)
    if season:
        read_season(checked, root)
    else:
        read_outlook(checked, root, own_base().scales, own_base().causes)
    return [problem.code for problem in checked.problems]


def test_the_project_s_own_files_are_right() -> None:
    """Both can be read without a mistake."""
    assert problems(OUTLOOK) == []
    assert problems(SEASON, season=True) == []


def test_what_is_read_is_what_is_meant() -> None:
    """A lead with its days, a treatment with its rounds, moves up and down."""
    rules = own_base().outlook
    assert rules is not None
    assert rules.leads["bud_blast_after_move_or_shock"].days == Days(2, 14)
    assert rules.moves.neighbour_has_it > 0 > rules.moves.still_there > rules.moves.gone
    assert next(each for each in rules.treatments if each.id == "alcohol").rounds == 3


def test_every_treatment_acts_on_causes_that_can_be_treated() -> None:
    """Only pests and diseases are treated away, and each treatment is judged after its rounds could be repeated."""
    rules = own_base().outlook
    assert rules is not None
    for treatment in rules.treatments:
        kinds = {own_base().causes[cause].kind for cause in treatment.against}
        assert kinds <= {"pest", "disease", "care"}
        assert treatment.judged_after_days >= treatment.repeat.low


def test_every_group_with_a_rest_or_a_cue_has_a_task() -> None:
    """A group that rests dry, or flowers only after cool nights, is spoken of by name."""
    named = " ".join(SEASON.split())
    for group in own_base().groups.values():
        if {"needs_dry_rest", "needs_cool_nights_to_bloom"} & set(group.traits):
            assert group.id in named, group.id


def test_cues_stand_only_where_the_groups_have_them() -> None:
    """A task whose text holds a cue of flowering names its groups, and each of them has that cue."""
    for task in own_base().season:
        for need in own_base().terms.needs:
            if f"{{need.{need}}}" in task.do + task.because and need.startswith("bloom_cue"):
                groups = [group for group in own_base().groups if group in str(task.when)]
                assert groups, task.id
                assert all(need in own_base().groups[group].needs for group in groups), task.id


@pytest.mark.parametrize(("old", "new", "code"), [
    ("least_decibans:", "least_decibels:", "unknown-key"),
    ('{value: "0.10"', '{value: "10"', "out-of-range"),
    ("how_much: clearly", "how_much: rules out", "unknown-word"),
    ("of_the_place: [dry_air", "of_the_place: [dry_airs", "unknown-cause"),
    ("days: 10 to 30", "days: 30 to 10", "no-window"),
    ("repeat_days: 7 to 10", "repeat_days: weekly", "no-window"),
    ("sign: leaf_spots_sunken, days", "sign: buds_drop, days", "sign-not-shown"),
    ("from: [AOS_APHID]", "from: []", "no-source"),
])
def test_mistakes_in_the_outlook_are_reported(old: str, new: str, code: str) -> None:
    """Each under its code, once."""
    assert old in OUTLOOK
    assert problems(OUTLOOK.replace(old, new, 1)).count(code) == 1


@pytest.mark.parametrize(("old", "new", "code"), [
    ("days: 09-15 to 10-10", "days: 09-15 to 02-30", "no-window"),
    ("days: 09-15 to 10-10", "days: autumn", "no-window"),
    ("{event: arrive, days: 0 to 14}", "{event: arrived, days: 0 to 14}", "unknown-word"),
    ("{need.feed_growth_ppm_n}", "{need.feed_ppm}", "unknown-need"),
    ("fed {feeds_since_flush} times", "fed {feeds} times", "unknown-measure"),
    ("task: repot_after_flowering", "task: repot_as_roots_start", "same-id-twice"),
    ("    otherwise: It was fed several times", "    because_not: It was fed several times", "no-otherwise"),
    ("{group: dendrobium_nobile}", "{group: dendrobium}", "unknown-group"),
])
def test_mistakes_in_the_season_are_reported(old: str, new: str, code: str) -> None:
    """Each under its code, at least once."""
    assert old in SEASON
    assert code in problems(SEASON.replace(old, new, 1), season=True)


def test_a_task_that_would_always_hold_is_refused() -> None:
    """A task needs a test, a span of the year or something done."""
    task = "season:\n  - {task: water, do: Water it., because: It is thirsty., from: [common practice]}\n"
    assert problems(task, season=True) == ["no-test"]
