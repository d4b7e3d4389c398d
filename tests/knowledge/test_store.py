"""The kept copy of an opened rule base: never stale, never needed, never in the way."""

from __future__ import annotations

import os
import pickle
import shutil
from pathlib import Path

import pytest

from diagnose.knowledge import store
from diagnose.knowledge.store import code_digest, digest_of, kept


class Made:
    """A value made from a folder, and how often one was made."""

    count = 0

    def __init__(self) -> None:
        Made.count += 1


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with one file of knowledge, and a cache of its own."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.setattr(Made, "count", 0)
    place = tmp_path / "base"
    place.mkdir()
    (place / "one.yaml").write_text("a: 1\n")
    return place


def copies() -> list[Path]:
    """The files of the cache."""
    return sorted(store.cache_folder().glob("*"))


def made(folder: Path) -> int:
    """How often the value has been made after opening the folder once more."""
    assert isinstance(kept(folder, Made, Made), Made)
    return Made.count


def test_a_copy_is_used_until_a_byte_changes(folder: Path) -> None:
    """Opened twice, made once; another text, another name of a file or a file more makes it anew."""
    assert [made(folder), made(folder)] == [1, 1]
    (folder / "one.yaml").write_text("a: 2\n")
    assert [made(folder), made(folder)] == [2, 2]
    (folder / "one.yaml").rename(folder / "two.yaml")
    assert [made(folder), made(folder)] == [3, 3]
    (folder / "more").mkdir()
    (folder / "more" / "three.yaml").write_text("")
    assert [made(folder), made(folder)] == [4, 4]


def test_the_code_that_reads_and_compiles_counts(tmp_path: Path, folder: Path) -> None:
    """A changed line of code gives another name."""
    code = tmp_path / "code.py"
    names = set()
    for text in ("x = 1\n", "x = 2\n", ""):
        code.write_text(text)
        names.add(digest_of(folder, code_digest([code])))
    assert len(names) == 3


def test_what_code_that_was_replaced_has_made_is_not_kept(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Other code on the disk than the process runs: its value would bear the wrong name."""
    monkeypatch.setattr(store, "_own_code", lambda: b"another")
    assert [made(folder), made(folder)] == [1, 2]
    assert copies() == []


@pytest.mark.parametrize("content", [b"", b"rubbish", b"\x80\x05.", pickle.dumps("another kind"),
                                     b"\x80\x05cos\nnot_there\n."])
def test_a_damaged_copy_is_made_anew(folder: Path, content: bytes) -> None:
    """Whatever stands in the file, the answer is the same, and the next opening finds a whole copy."""
    assert made(folder) == 1
    (copy,) = copies()
    copy.write_bytes(content)
    assert [made(folder), made(folder)] == [2, 2]


def test_a_copy_cut_short_is_made_anew(folder: Path) -> None:
    """Every length but the full one is noticed."""
    assert made(folder) == 1
    (copy,) = copies()
    whole = copy.read_bytes()
    for number, length in enumerate(range(len(whole))):
        copy.write_bytes(whole[:length])
        assert made(folder) == number + 2


def test_a_cache_that_cannot_be_written_is_done_without(folder: Path) -> None:
    """A file where the folder of the cache should be: made each time, and no word of it."""
    cache = Path(os.environ["XDG_CACHE_HOME"])
    shutil.rmtree(cache, ignore_errors=True)
    cache.write_text("no folder")
    assert [made(folder), made(folder)] == [1, 2]


def test_a_place_for_copies_is_named_in_full(monkeypatch: pytest.MonkeyPatch) -> None:
    """A path from wherever the command was called is not valid (XDG Base Directory Specification 0.8) and not used."""
    monkeypatch.setenv("XDG_CACHE_HOME", "some/where")
    assert store.cache_folder().is_absolute()
    assert "some" not in store.cache_folder().parts
