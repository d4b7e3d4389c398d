"""The log command: one short line in, a row in care.csv, undone again, plain messages for what is not understood."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from tests.intake.records.folders import write_folder
from tests.screen.commands import run

ROWS = "2026-02-01,P-07,water,,,\n"


def logged(folder: Path) -> list[str]:
    """The rows of the care log."""
    return (folder / "care.csv").read_text(encoding="utf-8").splitlines()[1:]


def test_line_becomes_a_row_and_is_undone(tmp_path: Path) -> None:
    """What was written is shown; undo takes it out and leaves the file as it was."""
    before = (write_folder(tmp_path, care=ROWS) / "care.csv").read_bytes()
    done = run("log", "fed P-07 150 ppm N", "--records", str(tmp_path), "--date", "2026-03-02")
    assert (done.returncode, done.stdout) == (0, "logged: 2026-03-02,P-07,feed,150,ppm N,\n")
    assert logged(tmp_path)[-1] == "2026-03-02,P-07,feed,150,ppm N,"
    undone = run("log", "--undo", "--records", str(tmp_path))
    assert undone.stdout == "taken out: 2026-03-02,P-07,feed,150,ppm N,\n"
    assert (tmp_path / "care.csv").read_bytes() == before


def test_words_need_no_quotation_marks_and_no_folder(tmp_path: Path) -> None:
    """Typed as words, in the records folder itself, as of today."""
    write_folder(tmp_path, care=ROWS)
    done = run("log", "moved", "all", "to", "east-window", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    assert logged(tmp_path)[-1] == f"{dt.date.today()},*,move,,,to east-window"


def test_place_stands_for_its_plants(tmp_path: Path) -> None:
    """The plants that stand there now, one row each."""
    write_folder(tmp_path, care=ROWS)
    run("log", "watered east-window", "--records", str(tmp_path), "--date", "2026-03-02")
    assert logged(tmp_path)[-1] == "2026-03-02,P-07,water,,,"


def test_seen_sign_is_checked(tmp_path: Path) -> None:
    """An id that is no sign is asked back; plain words are taken as they are."""
    write_folder(tmp_path, care=ROWS)
    bad = run("log", "seen P-07 leaf_spot_dark", "--records", str(tmp_path))
    assert bad.returncode == 2
    assert 'Did you mean "leaf_spots_dark"?' in bad.stderr
    good = run("log", "saw P-07 black spots on a leaf", "--records", str(tmp_path), "--date", "2026-03-02")
    assert good.stdout == "logged: 2026-03-02,P-07,seen,,,black spots on a leaf\n"


@pytest.mark.parametrize(("arguments", "words"), [
    ((), "Nothing is said that was done"),
    (("fed P-07 150 ppm N", "--undo"), "Either say what was done, or --undo"),
    (("fedd P-07",), 'Did you mean "fed"?'),
    (("fed P-70 150 ppm N",), 'Did you mean "P-07"?'),
    (("fed P-07 99999 ppm N",), "cannot be right"),
    (("fed P-07 150 ppm N", "--date", "today"), "Write YYYY-MM-DD"),
    (("--undo",), "Nothing was added here that could be undone"),
])
def test_bad_input_is_one_plain_message(tmp_path: Path, arguments: tuple[str, ...], words: str) -> None:
    """Status 2, what was expected, nothing written."""
    before = (write_folder(tmp_path, care=ROWS) / "care.csv").read_bytes()
    done = run("log", *arguments, "--records", str(tmp_path))
    assert done.returncode == 2
    assert words in done.stderr
    assert "Traceback" not in done.stderr
    assert (tmp_path / "care.csv").read_bytes() == before
