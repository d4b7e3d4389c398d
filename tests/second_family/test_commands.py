"""Every command takes another rule base by one option: potted citrus through check, letter, ask, triage and more."""

from __future__ import annotations

import json
import shlex
from pathlib import Path
from typing import Any

import pytest

from diagnose.problems import InputError
from diagnose.screen.main import app
from diagnose.screen.talk import Talk
from tests.desk.folders import write_case
from tests.second_family.base import assembled
from tests.second_family.records import write_records

CASES = {  # four invented letters to a club of citrus growers
    "C-01": ("The compost of my lemon is soggy, the leaves turn yellow and fall.", "root_rot"),
    "C-02": ("Hundreds of tiny fruits fall off my lime. Otherwise it looks well.", "natural_fruit_drop"),
    "C-03": ("There is white cotton in the leaf joints of the calamondin.", "mealybug"),
    "C-04": ("The newest leaves of our satsuma are yellow with green veins. The water is hard.", "iron_short"),
}


@pytest.fixture(autouse=True)
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A store of its own for each test, and a screen of a fixed width."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.setenv("COLUMNS", "100")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The rule base of citrus, put together once."""
    return assembled(tmp_path_factory.mktemp("second"))


def printed(capsys: pytest.CaptureFixture[str], *arguments: object) -> str:
    """What a command prints."""
    app([str(argument) for argument in arguments], standalone_mode=False)
    return capsys.readouterr().out


def json_of(capsys: pytest.CaptureFixture[str], *arguments: object) -> Any:
    """The same as JSON."""
    return json.loads(printed(capsys, *arguments, "--json"))


def test_check_finds_nothing_to_mend(capsys: pytest.CaptureFixture[str], folder: Path) -> None:
    """Ten causes: all can be read, all is good, every example comes out as written."""
    told = printed(capsys, "knowledge", "check", folder)
    assert "10 causes, 22 signs, 11 conditions, 4 groups" in told
    assert "nothing to mend" in told


@pytest.mark.parametrize(("file", "old", "new", "code"), [
    ("speech/health.yaml", "signs: [leaf_limp]", "signs: [leaf_limb]", "unknown-sign"),
    ("speech/stages.yaml", "value: flushing", "value: spike_forming", "unknown-word"),
    ("speech/media.yaml", "value: loam_mix", "value: sphagnum", "unknown-word"),
    ("speech/plants.yaml", "bench: [neighbours_sick]", "bench: [neighbours_fine]", "unknown-sign"),
    ("speech/quantities.yaml", "habit: cold_told", "habit: freezing_told", "unknown-habit"),
    ("speech/quantities.yaml", "measure: water_gap_mean", "measure: water_gaps", "unknown-measure"),
    ("asking.yaml", "stage: flushing", "stage: spike_forming", "unknown-word"),
    ("log.yaml", "stage: ripening", "stage: ripenning", "unknown-word"),
    ("wording/outlook.yaml", "sign_today:", "sign_tomorrow:", "unknown-key"),
])
def test_check_looks_into_every_file(tmp_path: Path, file: str, old: str, new: str, code: str) -> None:
    """A mistake in a file that is read only when it is used is found by the check as well."""
    path = assembled(tmp_path) / file
    path.write_text(path.read_text("utf-8").replace(old, new, 1), encoding="utf-8")
    with pytest.raises(InputError) as caught:
        app(["knowledge", "check", str(tmp_path / "citrus")], standalone_mode=False)
    assert code in {problem.code for problem in caught.value.problems}


def test_a_letter_is_answered(capsys: pytest.CaptureFixture[str], folder: Path, tmp_path: Path) -> None:
    """The card names the cause and what to do; the JSON names the group."""
    (tmp_path / "letter.txt").write_text(CASES["C-03"][0], encoding="utf-8")
    asked = ("letter", tmp_path / "letter.txt", "--knowledge", folder, "--date", "2026-02-01")
    assert "Mealybugs" in printed(capsys, *asked)
    found = json_of(capsys, *asked)
    assert (found["causes"][0]["cause"], found["understood"]["plant"]["group"]) == ("mealybug", "kumquat_kin")


def test_letters_by_the_line_are_answered(capsys: pytest.CaptureFixture[str], folder: Path, tmp_path: Path) -> None:
    """A file of letters goes by the same rule base."""
    lines = [json.dumps({"id": name, "letter": letter}) for name, (letter, _) in CASES.items()]
    (tmp_path / "letters.jsonl").write_text("\n".join(lines), encoding="utf-8")
    told = printed(capsys, "letter", "--jsonl", tmp_path / "letters.jsonl", "--knowledge", folder)
    assert [json.loads(line)["causes"][0]["cause"] for line in told.splitlines()] == [c for _, c in CASES.values()]


def test_answers_and_the_keyboard_decide(
        capsys: pytest.CaptureFixture[str], folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """From a file of answers, and at a keyboard where every question after the first words is skipped."""
    (tmp_path / "answers.yaml").write_text("leaf_stippled: yes\nleaf_web: yes\nold_leaf_yellow: no\n", encoding="utf-8")
    found = json_of(capsys, "ask", "--answers", tmp_path / "answers.yaml", "--knowledge", folder)
    assert found["causes"][0]["cause"] == "spider_mite"
    monkeypatch.chdir(tmp_path)
    answers = iter(["help", "the leaves are rolled up and the pot is very light"])
    monkeypatch.setattr("diagnose.screen.talk.Talk.ask", lambda self, *prompt: next(answers, None))
    told = printed(capsys, "ask", "--plain", "--knowledge", folder)
    assert "the newest leaves are yellow with green veins" in told
    assert "Too dry at the roots" in told


def test_a_sequence_broken_off_goes_on_with_its_rule_base(
        capsys: pytest.CaptureFixture[str], folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The command that is shown names the rule base, and going on asks about citrus again."""
    def broken_off(self: Talk, prompt: str = "") -> str:
        if typed:
            return typed.pop(0)
        raise KeyboardInterrupt

    typed = ["the leaves fall"]
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(Talk, "ask", broken_off)
    told = printed(capsys, "ask", "--plain", "--knowledge", folder).strip().splitlines()[-1]
    assert told.startswith("diagnose ask --resume ")
    assert told.endswith(f"--knowledge {folder}")
    assert "Many leaves fall" in printed(capsys, *shlex.split(told)[1:], "--plain")


def test_triage_lists_a_folder_of_cases(capsys: pytest.CaptureFixture[str], folder: Path, tmp_path: Path) -> None:
    """Four cases, each with its cause, rotting roots before the fall of little fruit; a reply can be drafted."""
    cases = tmp_path / "cases"
    cases.mkdir()
    for name, (letter, _) in CASES.items():
        write_case(cases, name, letter, received="2026-02-01")
    given = ("--knowledge", folder, "--date", "2026-02-03")
    found = json_of(capsys, "triage", cases, *given)["cases"]
    assert {case["case"]: case["causes"][0]["cause"] for case in found} == {
        name: cause for name, (_, cause) in CASES.items()}
    assert (found[0]["case"], found[-1]["case"]) == ("C-01", "C-02")
    assert "Short of iron" in printed(capsys, "triage", cases, *given)
    assert "Drowned and rotting roots" in printed(capsys, "triage", cases, *given, "--case", "C-01", "--reply")


def test_a_form_with_words_of_another_family_is_told(
        capsys: pytest.CaptureFixture[str], folder: Path, tmp_path: Path) -> None:
    """A stage of orchids on a form is a problem of that case, which is judged all the same."""
    write_case(tmp_path, "C-05", CASES["C-03"][0], plant="{group: kumquat_kin, stage: spike_forming, medium: loam_mix}")
    case = json_of(capsys, "triage", tmp_path, "--knowledge", folder)["cases"][0]
    assert 'There is no stage "spike_forming".' in case["problem"]
    assert case["causes"][0]["cause"] == "mealybug"


def test_log_and_outlook_go_by_the_rule_base(capsys: pytest.CaptureFixture[str], folder: Path, tmp_path: Path) -> None:
    """A line logged in the words of citrus growers, and what the records then foretell."""
    records = write_records(tmp_path / "records", night_low_c=14.0, water_every_days=2)
    given = ("--records", records, "--knowledge", folder)
    assert "stage,,,setting_fruit" in printed(capsys, "log", "C-1", "fruit", "set", "--date", "2026-01-31", *given)
    found = json_of(capsys, "outlook", "--date", "2026-02-01", *given)["plants"][0]["findings"]
    assert "root_rot" in {finding["cause"] for finding in found}
    with pytest.raises(InputError, match="does not say what was done"):
        app(["log", "C-1", "in", "spike", *map(str, given)], standalone_mode=False)


def test_list_and_show_go_by_the_rule_base(capsys: pytest.CaptureFixture[str], folder: Path) -> None:
    """What is listed and shown is of citrus."""
    listed = json_of(capsys, "knowledge", "list", "--folder", folder)
    assert len(listed["causes"]) == 10
    assert "veins" in printed(capsys, "knowledge", "show", "iron_short", "--folder", folder)
