"""Adding rows to care.csv: byte for byte, undone again, two at once, and killed at any moment."""

from __future__ import annotations

import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from diagnose.intake.records.care import read_care
from diagnose.intake.records.care_file import JOURNAL, add_rows, undo_rows
from diagnose.intake.records.log_line import LogRow
from diagnose.problems import InputError
from tests.intake.records.folders import DATE

ROOT = Path(__file__).parents[3]
HEADER = b"date,plant,action,amount,unit,detail\n"
FED = LogRow(DATE, "P-07", "feed", "150", "ppm N", "20-20-20")
MOVED = LogRow(DATE, "*", "move", detail='to the hall, by the "glass" door')
PLANTS = ["P-07", "P-08"]


def add(folder: Path, *rows: LogRow) -> bytes:
    """Add rows and give the file."""
    add_rows(folder, rows, PLANTS)
    return (folder / "care.csv").read_bytes()


@pytest.mark.parametrize("before", [
    HEADER,
    HEADER + b"2026-02-01,P-07,water,,,\n\n  \n",
    HEADER.replace(b"\n", b"\r\n") + b"2026-02-01,P-07,water,,,\r\n",
    HEADER.replace(b",", b";") + b"2026-02-01;P-07;water;0,5;l;by hand\n",
    b"\xef\xbb\xbf" + HEADER + b"2026-02-01,P-07,water,,,",
    b"detail,plant,date,action,extra,amount,unit\nold,P-07,2026-02-01,water,kept,,\n",
    HEADER + "2026-02-01,P-07,seen,,,geknickt \u2013 müde\n".encode(),
    HEADER + "2026-02-01,P-07,seen,,,müde\n".encode("cp1252"),
    "date,plant,action,amount,unit,detail\r\n2026-02-01,P-07,water,,,\r\n".encode("utf-16"),
])
def test_file_is_otherwise_untouched(tmp_path: Path, before: bytes) -> None:
    """In its own columns, delimiter, line ends and encoding; what was there stays, and undo gives it back exactly."""
    (tmp_path / "care.csv").write_bytes(before)
    after = add(tmp_path, FED, MOVED)
    assert after.startswith(before)
    rows, problems = read_care(tmp_path / "care.csv", "care.csv", PLANTS, DATE)
    assert problems == []
    assert [(row.action, row.plant, row.detail) for row in rows[-2:]] == [
        ("feed", "P-07", "20-20-20"), ("move", "*", 'to the hall, by the "glass" door')]
    undo_rows(tmp_path)
    assert (tmp_path / "care.csv").read_bytes() == before


def test_new_file_is_made(tmp_path: Path) -> None:
    """Where there is no care.csv, one is made with its header; an empty one is filled."""
    assert add(tmp_path, FED) == HEADER + b"2026-03-02,P-07,feed,150,ppm N,20-20-20\n"
    (tmp_path / "care.csv").write_bytes(b"")
    assert add(tmp_path, FED).startswith(HEADER)
    for blank, encoding in ((b"  ", "utf-8"), (b"\n\n", "utf-8"), (b"\xff\xfe", "utf-16-le"),
                            (b"\xef\xbb\xbf", "utf-8")):
        (tmp_path / "care.csv").write_bytes(blank)
        assert add(tmp_path, FED).startswith(blank + HEADER.decode().encode(encoding))
        assert read_care(tmp_path / "care.csv", "care.csv", PLANTS, DATE)[0][0].action == "feed"


def test_undo_goes_back_step_by_step(tmp_path: Path) -> None:
    """Each undo takes out what was added before, until nothing is left to undo."""
    (tmp_path / "care.csv").write_bytes(HEADER)
    first = add(tmp_path, FED)
    add(tmp_path, MOVED, FED)
    assert len(undo_rows(tmp_path)[0]) == 2
    assert (tmp_path / "care.csv").read_bytes() == first
    undo_rows(tmp_path)
    with pytest.raises(InputError, match="nothing-to-undo"):
        undo_rows(tmp_path)
    assert (tmp_path / "care.csv").read_bytes() == HEADER


def test_undo_leaves_what_was_typed_since(tmp_path: Path) -> None:
    """Rows typed by hand after the log stay, though the logged ones before them go."""
    (tmp_path / "care.csv").write_bytes(HEADER)
    typed = b"2026-03-02,P-08,water,,,by hand\n"
    after = add(tmp_path, FED)
    (tmp_path / "care.csv").write_bytes(after + typed)
    undo_rows(tmp_path)
    assert (tmp_path / "care.csv").read_bytes() == HEADER + typed


def test_undo_of_changed_rows_is_refused(tmp_path: Path) -> None:
    """A row that was corrected by hand is not taken out; the message names it."""
    after = add(tmp_path, FED)
    (tmp_path / "care.csv").write_bytes(after.replace(b"150", b"75"))
    with pytest.raises(InputError, match="changed-since"):
        undo_rows(tmp_path)
    assert b"75" in (tmp_path / "care.csv").read_bytes()


@pytest.mark.parametrize("journal", [
    "[" * 100_000, '[{"before": "x", "added": "zz", "rows": ["a"]}]', '[{"before": "x", "added": "", "rows": ["a"]}]',
    '[{"before": "x", "added": "61", "rows": []}]', '[{"before": "x", "added": "61", "rows": [1]}]', "5", "{}", "[5]",
    '[{"before": "x", "added": 5, "rows": ["a"]}]', "\0", ""])
def test_a_damaged_journal_counts_as_none(tmp_path: Path, journal: str) -> None:
    """There is nothing to undo then; what is added next can be undone again."""
    (tmp_path / "care.csv").write_bytes(HEADER)
    (tmp_path / JOURNAL).write_text(journal)
    with pytest.raises(InputError, match="nothing-to-undo"):
        undo_rows(tmp_path)
    assert (tmp_path / "care.csv").read_bytes() == HEADER
    add(tmp_path, FED)
    undo_rows(tmp_path)
    assert (tmp_path / "care.csv").read_bytes() == HEADER


def test_note_without_its_rows_undoes_nothing(tmp_path: Path) -> None:
    """Killed after the journal and before the file: undo takes out the rows before, which did get there."""
    (tmp_path / "care.csv").write_bytes(HEADER)
    first = add(tmp_path, FED)
    add(tmp_path, MOVED)
    (tmp_path / "care.csv").write_bytes(first)  # as if the second had never arrived
    assert undo_rows(tmp_path)[0] == ("2026-03-02,P-07,feed,150,ppm N,20-20-20",)
    assert (tmp_path / "care.csv").read_bytes() == HEADER


@pytest.mark.parametrize(("row", "code"), [
    (LogRow(DATE, "P-99", "feed"), "unknown-plant"),
    (LogRow(DATE, "P-07", "feed", "99999", "ppm N"), "out-of-range"),
    (LogRow(DATE, "P-07", "seen"), "nothing-seen"),
])
def test_unsound_row_is_not_written(tmp_path: Path, row: LogRow, code: str) -> None:
    """What the care log would refuse is refused before it gets there."""
    (tmp_path / "care.csv").write_bytes(HEADER)
    with pytest.raises(InputError, match=code):
        add_rows(tmp_path, [row], PLANTS)
    assert (tmp_path / "care.csv").read_bytes() == HEADER


@pytest.mark.parametrize("header", [b"when,who,what\n", b"date,plant,action\n"])
def test_file_that_cannot_take_the_row_is_left_alone(tmp_path: Path, header: bytes) -> None:
    """A file with another header, or without the column that the row needs, is not touched."""
    (tmp_path / "care.csv").write_bytes(header)
    with pytest.raises(InputError, match="care-header"):
        add_rows(tmp_path, [FED], PLANTS)
    assert (tmp_path / "care.csv").read_bytes() == header


def test_letter_that_the_encoding_lacks_is_refused(tmp_path: Path) -> None:
    """A file in an old encoding cannot take every letter; the message says what to do."""
    before = HEADER + "2026-02-01,P-07,seen,,,müde\n".encode("cp1252")
    (tmp_path / "care.csv").write_bytes(before)
    with pytest.raises(InputError, match="Save the file as UTF-8"):
        add_rows(tmp_path, [LogRow(DATE, "P-07", "seen", detail="葉が黄色")], PLANTS)
    assert (tmp_path / "care.csv").read_bytes() == before


def loop(folder: Path, first: int, count: int) -> subprocess.Popen[str]:
    """A process that logs rows with rising numbers."""
    command = [sys.executable, "-m", "tests.intake.records.log_loop", str(folder), str(first), str(count)]
    return subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)


def rounds(folder: Path) -> list[int]:
    """The numbers of the rows in the file, each of which must be whole."""
    text = (folder / "care.csv").read_bytes().decode()
    assert text.endswith("\n")
    lines = text.splitlines()[1:]
    assert all(line.startswith("2026-03-02,P-07,treat,,,round ") for line in lines)
    return [int(line.rsplit(" ", 1)[1]) for line in lines]


def test_two_at_once_lose_nothing(tmp_path: Path) -> None:
    """Two processes that log into one file at the same time: every row is there once."""
    one, other = loop(tmp_path, 0, 25), loop(tmp_path, 100, 25)
    results = [process.communicate(timeout=120) for process in (one, other)]
    assert [process.returncode for process in (one, other)] == [0, 0], results
    assert sorted(rounds(tmp_path)) == [*range(25), *range(100, 125)]


def test_killed_at_any_moment_no_log_is_lost_or_halved(tmp_path: Path) -> None:
    """Killed again and again while it logs: every row that was confirmed is there, whole, and none twice."""
    chance = random.Random(7)
    confirmed: list[int] = []
    first = 0
    for _ in range(8):
        process = loop(tmp_path, first, 100_000)
        assert process.stdout is not None
        confirmed.append(int(process.stdout.readline()))  # it has started
        time.sleep(chance.uniform(0, 0.15))
        process.send_signal(signal.SIGKILL)
        confirmed += [int(line) for line in process.communicate()[0].splitlines() if line.strip()]
        found = rounds(tmp_path)
        assert len(found) == len(set(found))
        assert set(confirmed) <= set(found)
        assert len(found) - len(confirmed) <= 8  # at most the one row under way at each kill
        first = max(found) + 1
    before = len(rounds(tmp_path))
    undo_rows(tmp_path)
    assert len(rounds(tmp_path)) == before - 1
    assert not list(tmp_path.glob(".writing-*"))
    assert (tmp_path / JOURNAL).exists()
