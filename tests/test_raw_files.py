"""Files of others: found without following links, read up to a size, and what is out of reach is told."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from diagnose.problems import InputError
from diagnose.raw_files import files_under, read_raw_file


def test_files_are_found_in_every_folder_but_linked_ones(tmp_path: Path) -> None:
    """By their paths; a link to a folder, to itself or to nothing is left out, a link to a file is not."""
    for name in ("b/2", "a/1"):
        (tmp_path / name).parent.mkdir()
        (tmp_path / name).touch()
    for name, target in (("a/up", ".."), ("a/self", "self"), ("a/none", "nothing"), ("a/3", "1")):
        (tmp_path / name).symlink_to(target)
    found, problems = files_under(tmp_path)
    assert [path.relative_to(tmp_path).as_posix() for path in found] == ["a/1", "a/3", "b/2"]
    assert problems == []
    assert files_under(tmp_path / "gone") == ([], [])


def test_a_folder_that_cannot_be_read_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """It is named, with the reason, and the files of the others are found."""
    (tmp_path / "shut").mkdir()
    (tmp_path / "a").touch()
    scan = os.scandir

    def refused(path: str) -> object:
        if str(path).endswith("shut"):
            raise PermissionError(13, "Permission denied", path)
        return scan(path)

    monkeypatch.setattr(os, "scandir", refused)
    found, problems = files_under(tmp_path)
    assert [path.name for path in found] == ["a"]
    assert [str(problem) for problem in problems] == [
        f"{tmp_path}/shut: This folder cannot be read: Permission denied. [cannot-be-read]"]


def test_a_file_is_read_up_to_its_limit(tmp_path: Path) -> None:
    """One byte more, a pipe, a folder or nothing: each is told; a link to a file is read."""
    (tmp_path / "file").write_bytes(b"12345")
    (tmp_path / "link").symlink_to("file")
    assert read_raw_file(tmp_path / "link", "shown", 5) == b"12345"
    os.mkfifo(tmp_path / "pipe")
    for name, words in (("file", "shown: This file is larger than 4 bytes."), ("pipe", "not an ordinary file"),
                        ("", "Is a directory"), ("gone", "No such file")):
        with pytest.raises(InputError, match=words):
            read_raw_file(tmp_path / name, "shown", 4)
