"""The question sequence without a terminal: files of answers, files to go on with, lines from a pipe."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest
import yaml

from tests.measure.schema import PLACE
from tests.screen.commands import run

DAY = ("--date", "2026-03-02")
LIMP = "the leaves are limp and wrinkled"


def answers(tmp_path: Path, text: str) -> Path:
    """A file of answers."""
    path = tmp_path / "answers.yaml"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_file_of_answers_needs_no_keyboard(tmp_path: Path) -> None:
    """With JSON wanted, standard output carries a result object alone."""
    path = answers(tmp_path, "pest_cottony_white: yes\nleaf_sticky: yes\nroots_rotten: no\nants_present: unsure\n")
    done = run("ask", "--answers", str(path), "--json", *DAY, "--group", "phalaenopsis")
    assert (done.returncode, done.stderr) == (0, "")
    result = json.loads(done.stdout)
    assert result["causes"][0]["cause"] == "mealybug"
    assert result["verdict"] == "decided"
    assert {sign["sign"]: sign["state"] for sign in result["understood"]["signs"]} == {
        "pest_cottony_white": "present", "leaf_sticky": "present", "roots_rotten": "absent", "ants_present": "unsure"}
    assert result["understood"]["plant"]["group"] == "phalaenopsis"
    assert "ants_present" not in [question["sign"] for question in result["ask_next"]]
    jsonschema.validate(result, json.loads(PLACE.read_text(encoding="utf-8")))


def test_a_file_of_answers_without_json_prints_the_card(tmp_path: Path) -> None:
    """The same answer for people, with what to check and when to look again."""
    done = run("ask", "--answers", str(answers(tmp_path, "pest_cottony_white: yes\n")), *DAY)
    assert done.returncode == 0
    assert "Mealybugs" in done.stdout


def test_habits_can_be_answered_as_well(tmp_path: Path) -> None:
    """A circumstance told moves the answer."""
    signs = "buds_drop: yes\n"
    plain, moved = (json.loads(run("ask", "--answers", str(answers(tmp_path, text)), "--json", *DAY).stdout)
                    for text in (signs, signs + "moved_told: yes\n"))
    share = [{cause["cause"]: cause["probability"] for cause in found["causes"]} for found in (plain, moved)]
    assert share[1]["bud_blast_after_move_or_shock"] > share[0]["bud_blast_after_move_or_shock"]


def test_answers_that_clash_are_told_on_standard_error(tmp_path: Path) -> None:
    """The answer is given all the same."""
    path = answers(tmp_path, "pot_stays_wet: yes\npot_dries_fast: yes\n")
    done = run("ask", "--answers", str(path), "--json", *DAY)
    assert done.returncode == 0
    assert "does not go together" in done.stderr
    assert json.loads(done.stdout)["version"] == 1


@pytest.mark.parametrize(("text", "line", "words"), [
    ("leaf_limb: yes\n", 1, 'Did you mean "leaf_limp"?'),
    ("leaf_limp: yes\nbuds_drop: yep\n", 2, 'Did you mean "yes"?'),
    ("leaf_limp:\n  - yes\n", 2, "no answer"),
    ("- leaf_limp\n", 1, "holds no answers"),
    ("", 1, "holds no answers"),
    ("leaf_limp: yes\nleaf_limp: no\n", 2, "written twice"),
])
def test_a_wrong_file_of_answers_is_told_with_line_and_nearest_word(tmp_path: Path, text: str, line: int,
                                                                    words: str) -> None:
    """One plain message, status 2, never a traceback."""
    path = answers(tmp_path, text)
    done = run("ask", "--answers", str(path), *DAY)
    assert done.returncode == 2
    assert done.stderr.startswith(f"{path}:{line}")
    assert words in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize(("content", "words"), [
    ({"session": "1", "date": "2026-03-02", "replies": [{"question": "leaf_fell", "chosen": []}]},
     'There is no question "leaf_fell".'),
    ({"session": "1", "date": "2026-03-02", "replies": [{"question": "pot_moisture", "chosen": ["Heavy"]}]},
     '"Heavy" is not an answer to this question.'),
    ({"session": "1", "date": "yesterday", "replies": []}, '"yesterday" is not a date.'),
    ({"case": "2026-014"}, "no question sequence that was broken off"),
])
def test_a_wrong_session_file_is_told(tmp_path: Path, content: dict[str, object], words: str) -> None:
    """Nothing is guessed from a file that another rule base or a hand has changed."""
    path = tmp_path / "session.yaml"
    path.write_text(yaml.safe_dump(content, sort_keys=False), encoding="utf-8")
    done = run("ask", "--resume", str(path))
    assert done.returncode == 2
    assert words in done.stderr


def test_options_do_not_go_with_a_session(tmp_path: Path) -> None:
    """What is resumed has its own."""
    done = run("ask", "--resume", str(tmp_path / "none.yaml"), "--group", "phalaenopsis")
    assert done.returncode == 2
    assert "Leave the others out." in done.stderr


def test_a_letter_on_standard_input_leaves_no_keyboard() -> None:
    """It is refused rather than read past."""
    done = run("letter", "-", "--ask", text="limp leaves")
    assert done.returncode == 2
    assert "Name the file" in done.stderr


def test_lines_from_a_pipe_are_answers(tmp_path: Path) -> None:
    """Without a terminal the same lines do; at the end of the input comes the answer so far, and JSON alone with it."""
    done = run("ask", "--json", *DAY, text=f"{LIMP}\n1\n")
    assert done.returncode == 0
    assert json.loads(done.stdout)["understood"]["signs"]
    assert "Question 1 of at most 7" in done.stderr


@pytest.mark.parametrize("name", ["~no_such_user/x", "a\0b/c", ".", "/", "..", "no/such/folder/x", "x" * 400, "- x"])
def test_a_name_that_does_not_do_is_asked_for_again(tmp_path: Path, name: str) -> None:
    """Somebody's home there is none of, no name at all, too long a one: the next that is typed is taken."""
    done = run("ask", *DAY, text=f"{LIMP}\nstop\n{name}\n{tmp_path}/mine\n")
    assert done.returncode == 0, done.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["mine.yaml"]


@pytest.mark.parametrize("typed", ["", "stop\n", "\nstop\n", f"{LIMP}\nback\nquit\n"])
def test_left_at_once_json_is_still_json(typed: str) -> None:
    """Where the grower leaves before anything is told, standard output carries the answer to nothing."""
    done = run("ask", "--json", *DAY, text=typed)
    assert done.returncode == 0
    assert "Nothing was asked." in done.stderr
    result = json.loads(done.stdout)
    assert result["understood"]["signs"] == []
    jsonschema.validate(result, json.loads(PLACE.read_text(encoding="utf-8")))
