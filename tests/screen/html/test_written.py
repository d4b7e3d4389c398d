"""The letter command writes its page whole or not at all, and says plainly where it cannot."""

from __future__ import annotations

import json
import os
import stat
from pathlib import Path

import pytest

from diagnose.problems import InputError
from diagnose.screen.page import write_page
from tests.screen.commands import run
from tests.screen.html.reading import Page

LETTER = "All the buds of my moth orchid turn yellow and drop before they open."


def test_a_page_is_written_and_named(tmp_path: Path) -> None:
    """The page stands in the file, standard output names the file, and nothing else is left in the folder."""
    file = tmp_path / "page.html"
    done = run("letter", "-", "--date", "2026-01-15", "--html", str(file), text=LETTER)
    assert (done.returncode, done.stdout, done.stderr) == (0, f"Written: {file}\n", "")
    assert Page(file.read_text(encoding="utf-8")).faults == []
    assert list(tmp_path.iterdir()) == [file]


def test_json_stays_alone_on_standard_output(tmp_path: Path) -> None:
    """With --json as well, standard output carries the result object alone, that of the page."""
    file = tmp_path / "page.html"
    done = run("letter", "-", "--date", "2026-01-15", "--json", "--html", str(file), text=LETTER)
    result = json.loads(done.stdout)
    assert result["causes"][0]["name"] in Page(file.read_text(encoding="utf-8")).text


def test_an_old_page_is_replaced_and_keeps_its_permissions(tmp_path: Path) -> None:
    """A page written before gives way to the new one."""
    file = tmp_path / "page.html"
    file.write_text("old", encoding="utf-8")
    file.chmod(0o600)
    write_page(file, "new")
    assert file.read_text(encoding="utf-8") == "new"
    assert stat.S_IMODE(file.stat().st_mode) == 0o600


def test_an_old_page_stays_where_the_new_one_fails(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """If the last step fails, the old page is untouched and no half-written file is left."""
    file = tmp_path / "page.html"
    file.write_text("old", encoding="utf-8")

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", full)
    with pytest.raises(InputError, match="no space left on device"):
        write_page(file, "new")
    assert [each.read_text(encoding="utf-8") for each in tmp_path.iterdir()] == ["old"]


@pytest.mark.parametrize("place", ["", "missing/page.html", "/dev/null"])
def test_a_path_that_cannot_be_written_is_said(tmp_path: Path, place: str) -> None:
    """A folder, a path into nothing and a device end with status 2 and one clear message."""
    done = run("letter", "-", "--html", str(tmp_path / place), text=LETTER)
    assert done.returncode == 2
    assert not done.stdout
    assert len(done.stderr.splitlines()) == 1
    assert "cannot-be-written" in done.stderr
    assert Path("/dev/null").is_char_device()


def test_one_page_shows_one_letter(tmp_path: Path) -> None:
    """A file of letters is not made into a page."""
    lines = tmp_path / "letters.jsonl"
    lines.write_text(json.dumps({"id": 1, "letter": LETTER}) + "\n", encoding="utf-8")
    done = run("letter", "--jsonl", str(lines), "--html", str(tmp_path / "page.html"))
    assert done.returncode == 2
    assert "Leave out --html or --jsonl." in done.stderr
    assert not (tmp_path / "page.html").exists()
