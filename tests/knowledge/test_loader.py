"""The small rule base as values: what was written is what is there."""

from __future__ import annotations

import math
import pickle
import random
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnose.knowledge import folder as folders
from diagnose.knowledge import words
from diagnose.knowledge.folder import files_of, load
from diagnose.knowledge.form import Form
from diagnose.knowledge.when import read_all
from diagnose.marked_yaml import parse_marked
from diagnose.model.facts import MeasureRequest
from diagnose.model.knowledge import AllOf, AnyOf, Atom, Bound, EventTest, KnowledgeBase, MeasureTest
from diagnose.problems import InputError, Problem, Where
from diagnose.reason.consult import consult
from diagnose.reason.rulebook import Rulebook
from tests.knowledge.planted import plant
from tests.small import case, small_base, small_folder


def test_everything_of_the_folder_is_there() -> None:
    """Each kind of thing by its id, in order."""
    base = small_base()
    assert list(base.causes) == ["jar_too_dry", "jar_too_wet", "moss_mite"]
    assert list(base.signs) == [
        "glass_fogged", "grit_white", "moss_brown", "moss_brown_tips", "moss_limp", "moss_slimy", "web_fine"]
    assert list(base.questions) == ["jar_floor", "jar_glass", "moss_colour", "moss_firmness"]
    assert list(base.conditions) == ["air_dry", "mite_weather"]
    assert list(base.groups) == ["tall_moss", "unknown"]
    assert list(base.measures) == ["relative_humidity_mean", "water_gap"]
    assert (list(base.habits), list(base.sources), list(base.cautions)) == (
        ["lid_open", "misting"], ["JAR_BOOK", "MITE_NOTE"], ["glass_edges"])


def test_a_cause_holds_what_its_file_says() -> None:
    """Texts, the numbers behind the words, and rules named after the cause, their kind and their place."""
    cause = small_base().causes["jar_too_dry"]
    assert (cause.name, cause.also_called) == ("Jar too dry", ("thirst",))
    assert (cause.kind, cause.urgency) == ("climate", "this week")
    assert cause.story == "The lid leaves a gap and the moss loses water faster than it is misted."
    assert (cause.prior, cause.spreads, cause.look_again_days) == (0.05, "", 14)
    assert small_base().causes["moss_mite"].spreads == "on fingers and tools"
    assert [(rule.rule, rule.sign, rule.frequency) for rule in cause.shows] == [
        ("jar_too_dry/shows/1", "moss_brown_tips", 0.6), ("jar_too_dry/shows/2", "moss_limp", 0.6),
        ("jar_too_dry/shows/3", "moss_slimy", 0.1)]
    assert [(rule.rule, rule.decibans) for rule in cause.shifts] == [
        ("jar_too_dry/favoured_by/1", 9), ("jar_too_dry/spoken_against_by/1", -2), ("jar_too_dry/ruled_out_by/1", -30)]
    assert [rule.rule.removeprefix("jar_too_dry/advice/") for rule in cause.advice] == [
        "now/1", "now/2", "later/1", "never/1"]
    assert [example.loses_to for example in cause.examples] == ["", "jar_too_wet", "moss_mite"]
    assert cause.examples[0].plant == {"group": "tall_moss", "place": "indoors"}


def test_every_claim_knows_its_line() -> None:
    """A reason shown to the grower can be traced to file, line and column."""
    claim = small_base().causes["jar_too_dry"].shows[1].claim
    assert claim.where == Where("small_base/causes/climate/jar_too_dry.yaml", 20, 5)
    assert (claim.why, claim.sources) == ("Dry moss folds and stays down.", ("JAR_BOOK",))


def test_questions_know_the_signs_they_settle() -> None:
    """The signs of all answers, in their order; the healthy answer names none."""
    question = small_base().questions["moss_colour"]
    assert (question.effort, question.several) == ("look", False)
    assert question.signs == ("moss_brown_tips", "moss_brown", "moss_slimy")
    assert [answer.healthy for answer in question.answers] == [False, False, False, True]
    assert small_base().questions["jar_glass"].several
    assert small_base().question_of("web_fine") is small_base().questions["jar_glass"]
    assert small_base().question_of("no such sign") is None


def test_groups_hold_their_needs_as_numbers() -> None:
    """Negative needs too; a rest of no words is allowed."""
    group = small_base().groups["tall_moss"]
    assert group.needs["chill_c"].value == -2
    assert group.needs["humidity_low_pct"].sources == ("JAR_BOOK",)
    assert (group.dry_out, group.rest, group.rest_season, group.bloom_season) == ("never", "", (), ("spring",))


@pytest.mark.parametrize(("written", "read"), [
    ("{sign: moss_limp}", Atom("sign", ("moss_limp",))),
    ("{no sign: moss_limp}", Atom("sign", ("moss_limp",), wanted=False)),
    ("{stage: [resting, in_bud]}", Atom("stage", ("resting", "in_bud"))),
    ("{reservoir: no}", Atom("reservoir", ("no",))),
    ("{no habit: misting}", Atom("habit", ("misting",), wanted=False)),
    ("{not condition: air_dry}", Atom("condition", ("air_dry",), wanted=False)),
    ("{event: move, within: 21 days}", EventTest("move", 21)),
    ("{event: repot, longer ago than: 1 day}", EventTest("repot", 1, within=False)),
    ("{no event: feed, within: 30 days}", EventTest("feed", 30, happened=False)),
    ("{measure: relative_humidity_mean, over: 30 days, below: 40 %}",
     MeasureTest(MeasureRequest("relative_humidity_mean", 30), False, Bound(40.0))),
    ("{measure: relative_humidity_mean, over: 60 days, ending: 21 days ago, above: -1.5 %}",
     MeasureTest(MeasureRequest("relative_humidity_mean", 60, 21), True, Bound(-1.5))),
    ("{measure: relative_humidity_mean, during: growth_forming, above: need humidity_low_pct minus 2.5}",
     MeasureTest(MeasureRequest("relative_humidity_mean", 0, 0, "growth_forming"), True,
                 Bound(-2.5, "humidity_low_pct"))),
    ("{measure: water_gap, above: 9 days}", MeasureTest(MeasureRequest("water_gap", 0), True, Bound(9.0))),
    ("{any: [{sign: moss_limp}, {stage: resting}]}",
     AnyOf((AllOf((Atom("sign", ("moss_limp",)),)), AllOf((Atom("stage", ("resting",)),))))),
    ("{all: [{sign: moss_limp}, {stage: resting}]}",
     AllOf((Atom("sign", ("moss_limp",)), Atom("stage", ("resting",))))),
])
def test_each_kind_of_test_is_read(written: str, read: object) -> None:
    """Every form of a test that the format allows, as the value it stands for."""
    form = Form({**folders._ids(folders._parse(small_folder())[0]), **small_base().terms.by_kind})
    assert read_all(form, parse_marked(f"[{written}]", "a.yaml"), Where("a.yaml")) == AllOf((read,))  # type: ignore[arg-type]
    assert form.problems == []


def test_the_order_of_files_does_not_matter(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever order the folder is listed in, the same rule base comes out."""
    files = files_of(small_folder())
    for seed in range(3):
        shuffled = random.Random(seed).sample(files, len(files))
        monkeypatch.setattr(folders, "files_of", lambda folder, order=shuffled: order)
        again = load(small_folder())
        assert again == small_base()
        assert list(again.causes) == list(small_base().causes)


def test_a_rule_base_can_be_kept_between_runs() -> None:
    """Pickled and read back, it is the same."""
    assert pickle.loads(pickle.dumps(small_base())) == small_base()


def test_files_that_are_not_yaml_are_left_alone(tmp_path: Path) -> None:
    """A note for growers beside the files is no mistake."""
    base = plant([{"file": "README.md", "text": "\tnot: yaml: at all"}], tmp_path)
    assert load(base) == small_base()


def test_the_words_of_the_format_are_single() -> None:
    """No closed list names a word twice, and each scale that is looked up by name is complete."""
    for name in words.__all__:
        value = getattr(words, name)
        if isinstance(value, tuple) and all(isinstance(word, str) for word in value):
            assert len(set(value)) == len(value), name
    assert all(math.isfinite(number) for scale in (small_base().scales.effort, small_base().scales.constants)
               for number in scale.values())


FILES = [str(path.relative_to(small_folder())) for path in files_of(small_folder())]
SCRAPS = st.one_of(st.text(max_size=40), st.sampled_from([
    "[]", "{}", "- a", "a: b", "{a: [b]}", "- [a]", "'", "&a", "*a", "!!x y", "~", "no", "when: [{}]", "any: [[]]",
    "- {sign: [[x]]}", "0", "-1", "1e400", "nan"]))


def loaded(base: Path) -> KnowledgeBase | tuple[Problem, ...]:
    """The rule base, or the problems reported instead; anything else raised fails the test."""
    try:
        return load(base)
    except InputError as error:
        return error.problems


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(FILES), SCRAPS)
def test_whatever_stands_in_a_file_there_is_a_rule_base_or_a_report(
        tmp_path_factory: pytest.TempPathFactory, file: str, text: str) -> None:
    """A whole file replaced by anything: never an error of another kind."""
    base = plant([{"file": file, "text": text, "encoding": "utf-8"}], tmp_path_factory.mktemp("base"))
    found = loaded(base)
    assert isinstance(found, KnowledgeBase) or all(p.where.file and p.code and p.words for p in found)


@settings(max_examples=100, deadline=None)
@given(st.data())
def test_whatever_value_is_replaced_there_is_a_rule_base_or_a_report(
        tmp_path_factory: pytest.TempPathFactory, data: st.DataObject) -> None:
    """One value of one line replaced by anything: a report, or a rule base that can answer a case."""
    file = data.draw(st.sampled_from(FILES))
    lines = (small_folder() / file).read_text("utf-8").splitlines(keepends=True)
    number = data.draw(st.integers(0, len(lines) - 1))
    before, mark, _ = lines[number].partition(data.draw(st.sampled_from([": ", "- ", "{", ", "])))
    lines[number] = f"{before}{mark}{data.draw(SCRAPS)}\n"
    base = plant([{"file": file, "text": "".join(lines)}], tmp_path_factory.mktemp("base"))
    found = loaded(base)
    if isinstance(found, KnowledgeBase):
        assert consult(Rulebook(found), case(("moss_limp", "web_fine"), ("grit_white",))).version == 1
    else:
        assert found
