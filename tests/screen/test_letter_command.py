"""The letter command: a card, a result object that validates, many letters, and plain messages for bad input."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from diagnose.screen.console import console
from tests.measure.schema import PLACE, schema
from tests.screen.commands import ROOT, Done, run

LETTER = "Four weeks ago I brought my moth orchid home. Now all its buds turn yellow and drop before they open."
DEMO = ROOT / "cases" / "demo"
RECORDS = ("--records", str(DEMO / "records"), "--plant", "P-21", "--date", "2026-02-14")


def result_of(done: Done) -> dict[str, Any]:
    """The result object that a command printed; it must be alone on standard output and valid."""
    assert done.returncode == 0, done.stderr
    found: dict[str, Any] = json.loads(done.stdout)
    jsonschema.validate(found, schema())
    return found


def test_shipped_schema_is_that_of_the_types() -> None:
    """The schema in the package is the one that the types give."""
    assert json.loads(PLACE.read_text(encoding="utf-8")) == schema()


def test_letter_alone_gives_a_valid_result() -> None:
    """A letter on standard input gives a valid result object without records."""
    result = result_of(run("letter", "-", "--json", "--date", "2026-01-15", text=LETTER))
    assert result["records"] is None
    assert [s["sign"] for s in result["understood"]["signs"] if s["state"] == "present"] == ["buds_drop"]
    probabilities = [cause["probability"] for cause in result["causes"]]
    assert probabilities == sorted(probabilities, reverse=True)
    assert min(probabilities) >= 0.01


def test_quotes_index_the_letter() -> None:
    """Start and end of each sign cut the quoted words out of the letter."""
    result = result_of(run("letter", "-", "--json", text=LETTER))
    for sign in result["understood"]["signs"]:
        assert LETTER[sign["start"]:sign["end"]] == sign["quote"]


def test_records_change_the_answer() -> None:
    """The demo's letter leads to another cause once its records are given."""
    letter = (DEMO / "letter.txt").read_text(encoding="utf-8")
    alone = result_of(run("letter", "-", "--json", "--date", "2026-02-14", text=letter))
    logged = result_of(run("letter", "-", "--json", *RECORDS, text=letter))
    assert alone["causes"][0]["cause"] != logged["causes"][0]["cause"]
    measured = {(m["measure"], m["window_days"]) for m in logged["records"]["measures"]}
    for measure in ("relative_humidity_mean", "temperature_night_low", "temperature_day_high",
                    "vapour_pressure_deficit_mean"):
        assert {(measure, 7), (measure, 30)} <= measured


def test_lines_keep_their_order_and_go_on_after_a_fault(tmp_path: Path) -> None:
    """Each line gives one object in the same order; a bad line gives its id and an error."""
    lines = [{"id": "a", "letter": LETTER}, {"id": 2}, {"id": "c", "letter": LETTER, "group": "no_such_group"},
             {"id": "d", "letter": LETTER, "date": "2026-13-01"}, {"id": "e", "letter": "The lowest leaf is yellow."}]
    file = tmp_path / "letters.jsonl"
    text = "".join(json.dumps(line) + "\n" for line in lines)
    file.write_text(text + "not json\n", encoding="utf-8")
    done = run("letter", "--jsonl", str(file))
    assert done.returncode == 0, done.stderr
    found = [json.loads(line) for line in done.stdout.splitlines()]
    assert [entry["id"] for entry in found] == ["a", 2, "c", "d", "e", None]
    assert ["error" in entry for entry in found] == [False, True, True, True, False, True]
    for entry in (found[0], found[4]):
        entry.pop("id")
        jsonschema.validate(entry, schema())


def test_what_cannot_be_meant_in_a_line_is_told_with_its_place(tmp_path: Path) -> None:
    """A day that is a number, a letter and a line without end: an error with file and line, and the next is read."""
    file = tmp_path / "letters.jsonl"
    lines = [{"id": n, "letter": LETTER, "date": date} for n, date in enumerate((20260302, "20260302", "9999-12-31"))]
    lines += [{"id": 3, "letter": "leaf " * 20_001}, {"id": 4, "letter": "x" * 9_000_000}, {"id": 5, "letter": LETTER}]
    file.write_text("".join(json.dumps(line) + "\n" for line in lines), encoding="utf-8")
    found = [json.loads(line) for line in run("letter", "--jsonl", str(file)).stdout.splitlines()]
    assert [entry["id"] for entry in found] == [0, 1, 2, 3, None, 5]
    assert [entry.get("error", "").removeprefix(str(file)) for entry in found] == [
        *(f":{n}: date: this is not a day; write it as 2026-03-02, from 1900 to 2199" for n in (1, 2, 3)),
        ":4: the letter is longer than 100,000 characters.", ":5: this line is longer than 800,000 bytes.", ""]


@pytest.mark.parametrize(("arguments", "said"), [
    (("letter", "no/such/file.txt"), "no/such/file.txt: This letter cannot be read: no such file or directory."),
    (("letter", "-", "--date", "2026-02-30"), '"2026-02-30" is not a date. Write YYYY-MM-DD, from 1900 to 2199.'),
    (("letter", "-", "--group", "phalenopsis"), 'There is no group "phalenopsis". Did you mean "phalaenopsis"?'),
    (("letter", "-", "--stage", "blooming"), 'There is no stage "blooming".'),
    (("letter", "-", "--medium", "barks"), 'Did you mean "bark"?'),
    (("letter", "-", "--plant", "P-1"), "A plant is named without records."),
    (("letter", "-", "--records", "no/such/folder", "--plant", "P-1"), "no/such/folder/bench.yaml"),
    (("letter", "-", "--records", str(DEMO / "records"), "--plant", "P-12"), 'Did you mean "P-21"?'),
    (("letter", "--jsonl", "no/such/file.jsonl"), "This file cannot be read"),
])
def test_bad_usage_is_said_in_one_plain_message(arguments: tuple[str, ...], said: str) -> None:
    """Bad options end with status 2 and one clear message, never a traceback."""
    done = run(*arguments, text=LETTER)
    assert done.returncode == 2
    assert said in done.stderr
    assert len(done.stderr.splitlines()) == 1
    assert not done.stdout


@pytest.mark.parametrize(("content", "said"), [
    (b"", "This letter is empty."),
    (b"  \n\t ", "This letter is empty."),
    (b"\x89PNG\r\n\x1a\n\0\0\0", "This is not a text file."),
    (b"leaf " * 20_001, "This letter is longer than 100,000 bytes."),
])
def test_bad_letters_are_said_in_one_plain_message(tmp_path: Path, content: bytes, said: str) -> None:
    """An empty, a binary and a far too long letter end with status 2 and one clear message."""
    file = tmp_path / "letter.txt"
    file.write_bytes(content)
    done = run("letter", str(file))
    assert done.returncode == 2
    assert said in done.stderr
    assert len(done.stderr.splitlines()) == 1
    assert file.read_bytes() == content


@pytest.mark.parametrize("columns", ["0", "1", "-5", "x", "9" * 30])
def test_a_width_that_cannot_be_is_not_believed(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str],
                                                columns: str) -> None:
    """Whatever the environment says of the width, lines of 40 to 100 characters come out."""
    monkeypatch.setenv("COLUMNS", columns)
    console().print("leaf " * 100)
    assert 35 <= max(map(len, capsys.readouterr().out.splitlines())) <= 100


def test_escapes_and_markup_come_out_harmless() -> None:
    """Terminal escapes, markup and HTML of a letter never reach the screen as such."""
    letter = "My \x1b[31mphal\x1b[0m [bold]drops[/bold] its buds <script>alert(1)</script> \x07 before they open\u202e."
    done = run("letter", "-", text=letter)
    assert done.returncode == 0, done.stderr
    assert not set("\x1b\x07\u202e") & set(done.stdout)


def test_same_letter_same_answer() -> None:
    """Two runs of one letter print the same, whatever the hash seed of the process."""
    first, second = (run("letter", "-", "--json", "--date", "2026-01-15", text=LETTER).stdout for _ in range(2))
    assert first == second
