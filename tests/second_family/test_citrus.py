"""Another family of plants needs no other program: potted citrus, by its rule base alone. All cases are invented."""

from __future__ import annotations

import datetime as dt
import re
import tokenize
from pathlib import Path

import numpy as np
import pytest
import yaml

import diagnose
from diagnose.knowledge.asking import read_asking
from diagnose.problems import InputError
from diagnose.reason.circumstances import Circumstances
from diagnose.reason.consult import verdict_of
from diagnose.reason.interview import Interviewer
from diagnose.rounds import outlook
from diagnose.workbench import CaseRequest, Workbench
from tests.measure.interview import run
from tests.measure.plants import Grower, sample_plants
from tests.own import own_base
from tests.second_family.base import assembled
from tests.second_family.records import DATE, PLANT, write_records

LETTERS = yaml.safe_load((Path(__file__).parent / "letters.yaml").read_text("utf-8"))["letters"]
FALLING = "My lemon loses many leaves every day. What is wrong with it?"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The rule base of citrus, put together once."""
    return assembled(tmp_path_factory.mktemp("second"))


@pytest.fixture(scope="module")
def bench(folder: Path) -> Workbench:
    """The same, opened."""
    return Workbench.open(folder)


@pytest.fixture(scope="module")
def interviewer(bench: Workbench) -> Interviewer:
    """Asks from the rule base of citrus."""
    return Interviewer(bench.rulebook, read_asking(bench.base, bench.folder))


def first(bench: Workbench, letter: str, request: CaseRequest) -> str:
    """The likeliest cause."""
    return bench.answer(bench.case(letter, request)).causes[0].cause


def test_no_cause_sign_or_condition_is_shared_by_accident(bench: Workbench) -> None:
    """It is another rule base: no stage but rest and flower, no medium and no group of the project's own."""
    assert not set(bench.base.terms.media) & set(own_base().terms.media)
    assert set(bench.base.groups) & set(own_base().groups) == {"unknown"}
    assert set(bench.base.terms.stages) & set(own_base().terms.stages) == {"resting", "in_flower"}


def test_letters_give_the_right_cause_first(bench: Workbench) -> None:
    """Ten invented letters, one for each cause: at least nine give it first, none leaves it out."""
    found = {letter["cause"]: [cause.cause for cause in bench.answer(bench.case(
        letter["letter"], CaseRequest(date=dt.date.fromisoformat(letter["date"])))).causes] for letter in LETTERS}
    assert set(found) == set(bench.base.causes)
    assert sum(causes[0] == cause for cause, causes in found.items()) >= 9
    assert all(cause in causes for cause, causes in found.items())


def test_the_question_sequence_decides(interviewer: Interviewer) -> None:
    """Of plants drawn from the rule base, three of each cause, most are decided and nearly all of those rightly."""
    right = []
    circumstances = Circumstances(interviewer.rulebook, interviewer.asking)
    for plant in sample_plants(interviewer, list(interviewer.rulebook.causes), 3, seed=1):
        _, step = run(interviewer, plant.interview, Grower(interviewer, circumstances, plant))
        if verdict_of(interviewer.rulebook, step.standing) == "decided":
            leader = interviewer.rulebook.causes[int(np.argmax(step.standing.probability))]
            right.append(leader == plant.cause)
    assert len(right) >= 21
    assert sum(right) >= 0.85 * len(right)


@pytest.mark.parametrize(("night_low_c", "water_every_days", "cause"), [
    (14.0, 2, "root_rot"), (5.0, 7, "winter_leaf_drop"), (14.0, 20, "too_dry"),
])
def test_records_decide_what_a_letter_leaves_open(
        bench: Workbench, tmp_path: Path, night_low_c: float, water_every_days: int, cause: str) -> None:
    """The same bare letter, with the records of a drowned, a cold and a parched lemon."""
    records = write_records(tmp_path / "records", night_low_c=night_low_c, water_every_days=water_every_days)
    request = CaseRequest(date=DATE, records=records, plant=PLANT)
    bare = {found.cause: found.probability for found in bench.answer(bench.case(FALLING, CaseRequest(DATE))).causes}
    result = bench.answer(bench.case(FALLING, request))
    assert result.causes[0].cause == cause
    assert result.causes[0].probability > bare.get(cause, 0.0)
    assert any(evidence.from_ in ("climate log", "care log") for evidence in result.causes[0].for_)


def test_the_outlook_speaks_of_citrus(bench: Workbench, tmp_path: Path) -> None:
    """From the records of a drowned lemon alone: rotting roots are foretold."""
    write_records(tmp_path / "records", night_low_c=14.0, water_every_days=2)
    found = outlook(bench, tmp_path / "records", DATE, lambda what, done, of: None).outlook.plants[0]
    assert "root_rot" in {finding.cause for finding in found.findings}


def test_each_rule_base_has_its_own_words_for_plants(bench: Workbench, tmp_path: Path) -> None:
    """A stage of orchids is none of citrus, in records and on the command line, and is told with its place."""
    write_records(tmp_path / "records", night_low_c=14.0, water_every_days=7, stage="spike_forming")
    with pytest.raises(InputError, match=r"bench\.yaml:10:12: .*spike_forming.*Known: flushing, in_flower"):
        bench.case("", CaseRequest(DATE, records=tmp_path / "records", plant=PLANT))
    with pytest.raises(InputError, match="There is no medium"):
        bench.case("", CaseRequest(DATE, medium="sphagnum"))


def test_the_program_names_nothing_of_orchids() -> None:
    """No text in the program is the id of a cause, sign, condition, group, habit, question, trait, stage or medium."""
    base = own_base()
    ids = {*base.causes, *base.signs, *base.conditions, *base.groups, *base.habits, *base.questions, *base.terms.traits,
           *base.terms.stages, *base.terms.media} - {"unknown", "soil"}  # a group of every base; a column of loggers
    found = [(path.name, token.start[0], token.string) for path in sorted(Path(diagnose.__file__).parent.rglob("*.py"))
             for token in _texts(path) if set(re.findall(r"[a-z]+(?:_[a-z0-9]+)*", token.string)) & ids]
    assert found == []


def _texts(path: Path) -> list[tokenize.TokenInfo]:
    """The texts of a source file that are one word: prose for people may say "bark" or "rust"."""
    with tokenize.open(path) as file:
        return [token for token in tokenize.generate_tokens(file.readline)
                if token.type == tokenize.STRING and re.fullmatch(r"""[rf]?["'][a-z_0-9]+["']""", token.string)]
