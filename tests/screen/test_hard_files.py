"""YAML made to do harm, in every file of that kind that a command reads: one message, quickly, and nothing else."""

from __future__ import annotations

import contextlib
import os
import signal
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.desk.folders import write_case
from tests.intake.records.folders import DATE, write_folder
from tests.knowledge.planted import plant
from tests.measure.mutation_kinds import Trial
from tests.measure.mutations import done, opened_once

DAY = DATE.isoformat()
ALIASES = "a0: &a0 [x, x]\n" + "".join(f"a{n}: &a{n} [*a{n - 1}, *a{n - 1}]\n" for n in range(1, 40))
HARMFUL = {
    "aliases that double": ALIASES, "alias of itself": "a: &a [*a]\n", "merge of itself": "a: &a {<<: *a}\n",
    "lists in lists": "a: " + "[" * 100_000, "mappings in mappings": "{a: " * 100_000, "keys of keys": "? " * 100_000,
    "lists by indent": "".join(f"{' ' * n}-\n" for n in range(2000)),
    "a tag that calls": "!!python/object/apply:os.abort []\n",
    "a huge scalar": f"a: {'x' * 7_000_000}\n", "a huge key": f"{'x' * 7_000_000}: a\n",
    "an endless quote": "a: '" + "x\n" * 100_000,
    "binary": "a: !!binary aGVsbG8=\n", "a second document": "a: b\n" + "---\na: b\n" * 1000,
}
READERS = ("rule base", "bench", "case", "club", "answers", "session")


def reading(what: str, text: str, folder: Path) -> Trial:
    """A command that reads this text as a file of this kind."""
    if what == "rule base":
        base = plant([{"file": "habits.yaml", "text": text, "encoding": "utf-8"}], folder / "base")
        return Trial(("knowledge", "check", str(base)))
    if what == "bench":
        (write_folder(folder) / "bench.yaml").write_text(text)
        return Trial(("outlook", "--records", str(folder), "--date", DAY))
    if what == "case":
        (folder / "1.yaml").write_text(text)
        return Trial(("outcome", str(folder / "1.yaml"), "--cause", "scale", "--result", "better", "--on", DAY))
    if what == "club":
        write_case(folder, "1")
        (folder / "club.yaml").write_text(text)
        return Trial(("triage", str(folder), "--date", DAY))
    (folder / "it.yaml").write_text(text)
    return Trial(("ask", "--answers" if what == "answers" else "--resume", str(folder / "it.yaml")))


@pytest.fixture(scope="module")
def once() -> Iterator[None]:
    """The rule base is opened once for all."""
    with opened_once():
        yield


@pytest.mark.usefixtures("once")
@pytest.mark.parametrize("what", READERS)
@pytest.mark.parametrize("harm", HARMFUL)
def test_harmful_yaml_is_refused_quickly(what: str, harm: str, tmp_path: Path) -> None:
    """Aliases, cycles, depth, size and tags end with status 2, one short message, in less than two seconds."""
    trial = reading(what, HARMFUL[harm], tmp_path)
    start = time.process_time()
    status, _, out, err = done(trial)
    assert time.process_time() - start < 2.0
    assert (status, out) == (2, "")
    assert 0 < len(err) < 1000
    assert "Traceback" not in err


@contextlib.contextmanager
def waiting_at_most(seconds: int) -> Iterator[None]:
    """Whatever is waited for longer is an error."""
    def stop(number: int, frame: object) -> None:
        raise TimeoutError(f"nothing came in {seconds} s")

    before = signal.signal(signal.SIGALRM, stop)
    signal.alarm(seconds)
    try:
        yield
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, before)


def piped(what: str, folder: Path) -> Trial:
    """A command that reads a file of this kind, which is a pipe that nobody writes to."""
    if what in ("care.csv", "climate/east-window.csv"):
        path, trial = write_folder(folder) / what, Trial(("outlook", "--records", str(folder), "--date", DAY))
    elif what == "mail":
        path, trial = folder / "a.eml", Trial(("triage", str(folder), "--date", DAY, "--add", str(folder / "a.eml")))
    else:
        trial = reading(what, "a: b\n", folder)
        names = {"rule base": "*/*/habits.yaml", "bench": "bench.yaml", "case": "1.yaml", "club": "club.yaml"}
        (path,) = folder.glob(names.get(what, "it.yaml"))
    path.unlink(missing_ok=True)
    os.mkfifo(path)
    return trial


@pytest.mark.usefixtures("once")
@pytest.mark.parametrize("what", [*READERS, "care.csv", "climate/east-window.csv", "mail"])
def test_a_pipe_in_place_of_a_file_holds_nobody_up(what: str, tmp_path: Path) -> None:
    """What would be waited for without end is refused by name."""
    trial = piped(what, tmp_path)
    with waiting_at_most(20):
        status, _, out, err = done(trial)
    assert (status, out) == (2, "")
    assert "This is not an ordinary file. [not-a-file]" in err


@pytest.mark.usefixtures("once")
@pytest.mark.parametrize("harm", HARMFUL)
def test_a_list_with_a_harmful_case_goes_on(harm: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The file is named as one that cannot be read; the good one beside it is judged."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    folder = tmp_path / "cases"
    folder.mkdir()
    write_case(folder, "good")
    (folder / "bad.yaml").write_text(HARMFUL[harm])
    status, seconds, out, _ = done(Trial(("triage", str(folder), "--date", DAY)))
    assert status == 0
    assert seconds < 2.0
    assert "1 cannot be read" in out
    assert "bad.yaml: " in out


@pytest.mark.usefixtures("once")
@pytest.mark.parametrize("place", ["care.csv", "bench.yaml", "climate/east-window.csv", "climate"])
def test_records_of_a_case_hold_no_way_out(place: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file of a records folder that is a link to somewhere outside the cases is not read, nor is what never ends."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    outside, folder = write_folder(tmp_path / "outside", care="", east_window="secret,words\n"), tmp_path / "cases"
    for kind in ("link", "pipe"):
        records = write_folder(folder / kind, care="", east_window="time,temp_c\n")
        path = records / place
        if path.is_dir():
            (path / "east-window.csv").unlink()
            path.rmdir()
        else:
            path.unlink()
        if kind == "link":
            path.symlink_to(outside / place)
        else:
            os.mkfifo(path)
        write_case(folder, kind, records=f"{{folder: {kind}, plant: P-07}}")
    status, _, out, _ = done(Trial(("triage", str(folder), "--date", DAY)))
    assert status == 0
    assert " ".join(out.split()).count("holds a link that leads out") == 2
    assert "secret" not in out
