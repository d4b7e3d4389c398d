"""Several volunteers on one folder: nobody's work is lost, no file is ever broken."""

from __future__ import annotations

import datetime as dt
import errno
import fcntl
import multiprocessing
import os
import random
import time
from pathlib import Path

import pytest

from diagnose import safe_write
from diagnose.desk.change import do
from diagnose.intake import locks
from diagnose.intake.case_files import parse_case
from diagnose.intake.locks import LOCK_NAME, far_file_system, folder_lock
from diagnose.model.cases import Deed
from diagnose.problems import InputError
from diagnose.safe_write import create_file, replace_file
from tests.desk.folders import write_case
from tests.desk.workers import change_many

DAY = dt.date(2026, 4, 22)
PROCESSES, CHANGES = 8, 100


def notes_of(folder: Path) -> list[str]:
    """Every note in the history of every case; each file must be whole."""
    return [deed.note for path in folder.glob("*.yaml") for deed in parse_case(path.read_bytes(), path.name).history]


def start(folder: Path, logs: Path) -> list[multiprocessing.process.BaseProcess]:
    """Eight processes that change four cases."""
    context = multiprocessing.get_context("spawn")
    started: list[multiprocessing.process.BaseProcess] = []
    for number in range(PROCESSES):
        process = context.Process(target=change_many, args=(folder, f"V-{number}", CHANGES, logs / f"{number}.log"))
        process.start()
        started.append(process)
    return started


@pytest.fixture
def folders(tmp_path: Path) -> tuple[Path, Path]:
    """A folder with four cases and one for logs."""
    folder, logs = tmp_path / "cases", tmp_path / "logs"
    folder.mkdir()
    logs.mkdir()
    for number in range(4):
        write_case(folder, f"2026-{number}", "Leaves limp.\n\n  Grüße", own_key="[kept, 1]  # kept too")
    return folder, logs


def test_eight_at_once_lose_nothing(folders: tuple[Path, Path]) -> None:
    """8 processes x 100 changes: all 800 stand in the histories, once each, and nothing is left lying about."""
    folder, logs = folders
    processes = start(folder, logs)
    for process in processes:
        process.join(300)
    assert [process.exitcode for process in processes] == [0] * PROCESSES
    notes = notes_of(folder)
    assert len(notes) == len(set(notes)) == PROCESSES * CHANGES
    assert all("own_key: [kept, 1]  # kept too" in path.read_text() for path in folder.glob("*.yaml"))
    names = [LOCK_NAME, *(f"2026-{number}.yaml" for number in range(4))]
    assert sorted(path.name for path in folder.iterdir()) == names


def test_one_killed_at_random_harms_nobody(folders: tuple[Path, Path]) -> None:
    """With one process killed somewhere in its work, all that was acknowledged is there and every file is whole."""
    folder, logs = folders
    processes = start(folder, logs)
    victim, log = processes[3], logs / "3.log"
    while victim.is_alive() and not (log.exists() and log.read_text()):
        time.sleep(0.01)
    time.sleep(random.uniform(0.0, 0.3))
    victim.kill()
    for process in processes:
        process.join(300)
    assert [process.exitcode for process in processes if process is not victim] == [0] * (PROCESSES - 1)
    acknowledged = {line for path in logs.iterdir() for line in path.read_text().splitlines()}
    notes = notes_of(folder)
    assert acknowledged <= set(notes)
    assert len(notes) == len(set(notes))
    do(folder / "2026-0.yaml", folder, Deed("take", "V-9", DAY), take_over=True)
    assert not list(folder.glob(f"{safe_write.PREFIX}*"))


def test_a_change_made_meanwhile_is_not_written_over(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where locks do not hold, a change by another program between reading and writing stops ours, with a word."""
    path = write_case(tmp_path, "1")
    real = safe_write._written_beside

    def late(target: Path, content: bytes) -> str:
        name = real(target, content)
        path.write_text(path.read_text() + "# by hand\n")
        return name

    monkeypatch.setattr(safe_write, "_written_beside", late)
    with pytest.raises(InputError, match="Nothing was written, for somebody else changed"):
        do(path, tmp_path, Deed("take", "V-1", DAY))
    assert path.read_text().endswith("# by hand\n")
    assert not list(tmp_path.glob(f"{safe_write.PREFIX}*"))


def test_a_folder_without_locks_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the file system knows no locks the change is made and the warning is plain."""
    def no_locks(handle: int, how: int) -> None:
        raise OSError(errno.ENOLCK, "no locks available")

    monkeypatch.setattr(locks.fcntl, "flock", no_locks)
    case, warning = do(write_case(tmp_path, "1"), tmp_path, Deed("take", "V-1", DAY))
    assert case.taken_by == "V-1"
    assert "cannot be locked" in warning


def test_a_lock_held_too_long_is_named(tmp_path: Path) -> None:
    """Who finds the folder locked for long gets a message instead of waiting for ever."""
    with (tmp_path / LOCK_NAME).open("w") as file:
        fcntl.flock(file, fcntl.LOCK_EX)
        with pytest.raises(InputError, match="Somebody else has been writing here"), folder_lock(tmp_path, 0.05):
            pass


def test_network_folders_are_recognised(tmp_path: Path) -> None:
    """The kind of file system is read from the table of mounts; the deepest mount counts."""
    mounts = tmp_path / "mounts"
    mounts.write_text(f"1 1 0:1 / / rw - ext4 /dev/x rw\n2 1 0:2 / {tmp_path} rw shared:1 - nfs4 server:/x rw\n")
    assert far_file_system(tmp_path / "club", str(mounts)) == "nfs4"
    assert far_file_system(Path("/"), str(mounts)) == ""
    assert far_file_system(tmp_path, str(tmp_path / "none")) == ""


def test_a_new_file_never_takes_the_place_of_another(tmp_path: Path) -> None:
    """Creating a file that is there already does nothing and says so."""
    assert create_file(tmp_path / "a", b"first")
    assert not create_file(tmp_path / "a", b"second")
    assert (tmp_path / "a").read_bytes() == b"first"
    assert [path.name for path in tmp_path.iterdir()] == ["a"]


def test_rights_of_a_file_stay(tmp_path: Path) -> None:
    """A file that only its owner may read stays so when it is changed."""
    path = write_case(tmp_path, "1")
    os.chmod(path, 0o600)
    replace_file(path, path.read_bytes(), b"new")
    assert path.stat().st_mode & 0o777 == 0o600


def test_a_byte_order_mark_and_unknown_keys_stay(tmp_path: Path) -> None:
    """A file that some editor began with a mark keeps it, and keys that are not known."""
    path = write_case(tmp_path, "1", own="{a: [1]}  # mine")
    path.write_bytes(b"\xef\xbb\xbf" + path.read_bytes())
    before = path.read_bytes()
    do(path, tmp_path, Deed("ask", "V-1", DAY))
    assert path.read_bytes().startswith(before)
