"""Damaged input by the thousand, through the program's own entry: refused with a message or answered, and never else.

Run ``python -m tests.measure.mutations --count 20000 --kind all``; ``--seed`` moves the numbers of the trials, so that
a long run can be done in parts. Of every kind it prints how many were tried, accepted and refused, the slowest in
seconds of processor time, and each fault with the number that repeats it: ``--seed NUMBER --count 1 --kind KIND``.
Status 1 if there is any. With ``--trace`` one trial is done and its traceback let through.
"""

from __future__ import annotations

import argparse
import contextlib
import io
import json
import os
import re
import resource
import shutil
import signal
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from random import Random
from typing import Any, Final
from unittest.mock import patch

import typer.main

from diagnose.desk import listing
from diagnose.desk.judge import Judge
from diagnose.screen import ask
from diagnose.screen.main import app, run
from diagnose.workbench import Workbench
from tests.measure.mutate import CANARY
from tests.measure.mutation_kinds import KINDS, PAGE, Trial

__all__ = ["Outcome", "Tally", "done", "one_trial", "opened_once", "tallied"]

MOST_S: Final = 2.0
HANGS_S: Final = 20
MORE_S: Final = 0.2  # for each letter of a file of letters, and for each line typed at the questions
SHOWN: Final = 20  # faults told of one kind
OPENING: Final = range(-20, 0)  # trials that are not counted: they open the rule base, which is kept for the others
_RAW: Final = re.compile(
    "[\x00-\x09\x0b-\x1f\x7f-\x9f\xad\u200b-\u200f\u2028-\u202e\u2060-\u2064\u2066-\u206f\ufeff\ud800-\uf8ff]")
_LIVE: Final = re.compile(r"<(?:script|img)", re.IGNORECASE)
_FAULT: Final = re.compile(r"Traceback \(most recent call|a fault of the program")


class _HangsError(BaseException):
    """A run that does not come to its end; nothing of the program catches this."""


@dataclass(frozen=True)
class Outcome:
    """What came of a trial: its status, seconds of processor time, and what is wrong with it, empty if nothing is."""

    status: int
    seconds: float
    wrong: tuple[str, ...]


@dataclass
class Tally:
    """What came of many trials; ``faults`` are pairs of the number of the trial and what was wrong."""

    statuses: Counter[int] = field(default_factory=Counter)
    slowest_s: float = 0.0
    slowest: int = 0
    faults: list[tuple[int, str]] = field(default_factory=list)


@contextlib.contextmanager
def opened_once() -> Iterator[None]:
    """Rule base, questions and commands are made once for all trials, not for each; all else is as at the command."""
    workbench = cache(Workbench.open)
    with (patch.object(typer.main, "get_command", cache(typer.main.get_command)),
          patch.object(ask, "opened_interviewer", cache(ask.opened_interviewer)),
          patch.object(Workbench, "open", lambda folder=None: workbench(folder)),
          patch.object(Judge, "open", cache(Judge.open)),
          patch.object(listing, "program_digest",
                       lambda knowledge, priors: f"{sorted(priors.items())}".encode().hex())):
        yield


def tallied(kind: str, numbers: range, room: Path) -> Tally:
    """The trials of a kind with these numbers, each in an empty folder of its own."""
    tally = Tally()
    for number in numbers:
        outcome = one_trial(kind, number, room)
        tally.statuses[outcome.status] += 1
        if outcome.seconds > tally.slowest_s:
            tally.slowest_s, tally.slowest = outcome.seconds, number
        tally.faults += [(number, wrong) for wrong in outcome.wrong]
    return tally


def one_trial(kind: str, number: int, room: Path) -> Outcome:
    """Do the trial of a kind with this number. The number alone decides what is done."""
    folder, kept = room / "trial", room / "cache"
    for place in (folder, kept):
        shutil.rmtree(place, ignore_errors=True)
    folder.mkdir()
    trial = KINDS[kind](Random(f"{kind} {number}"), folder)
    before = _contents(folder)
    given = b"".join([*before.values(), trial.typed, *(os.fsencode(word) for word in trial.arguments)])
    whole = given.count(b"zqzq") == given.count(CANARY.encode())  # the canary was not damaged itself
    places = {"XDG_CACHE_HOME": str(kept), "XDG_STATE_HOME": str(kept), "COLUMNS": "90", "TERM": "dumb"}
    with patch.dict(os.environ, places), contextlib.chdir(folder):  # a name typed for a case file stays in there
        status, seconds, out, err = done(trial)
    page = folder / PAGE
    written = page.read_text(encoding="utf-8") if page.exists() else ""
    lines = trial.typed.count(b"\n") + (out.count("\n") if trial.output == "lines" else 0)
    wrong = [*_wrong_status(status, seconds, err, lines), *_wrong_text(out + err, trial, whole), *_wrong_page(written),
             *_wrong_files(before, _contents(folder), trial, status)]
    if status == 0:
        wrong += _wrong_json(out, trial)
    return Outcome(status, seconds, tuple(wrong))


def done(trial: Trial) -> tuple[int, float, str, str]:
    """Status, seconds, standard output and standard error of a run."""
    out, err = io.BytesIO(), io.BytesIO()
    streams = {"stdout": io.TextIOWrapper(out, "utf-8", write_through=True),
               "stderr": io.TextIOWrapper(err, "utf-8", errors="backslashreplace", write_through=True),
               "stdin": io.TextIOWrapper(io.BytesIO(trial.typed), "utf-8")}
    start = time.process_time()
    with patch.multiple(sys, argv=["diagnose", *trial.arguments], **streams), _no_longer_than(HANGS_S):
        try:
            run()
            status = 0
        except SystemExit as left:
            status = left.code if isinstance(left.code, int) else 1 if left.code else 0
        except BaseException as error:
            streams["stderr"].write(f"Traceback (most recent call last) {type(error).__name__}: {error}\n")
            status = 1
    seconds = time.process_time() - start
    return status, seconds, out.getvalue().decode("utf-8", "replace"), err.getvalue().decode("utf-8", "replace")


@contextlib.contextmanager
def _no_longer_than(seconds: int) -> Iterator[None]:
    def stop(number: int, frame: Any) -> None:
        raise _HangsError(f"still at work after {seconds} s")

    before = signal.signal(signal.SIGPROF, stop)
    signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)


def _contents(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def _wrong_status(status: int, seconds: float, err: str, lines: int) -> Iterator[str]:
    if status not in (0, 2):
        yield f"status {status}: {err.strip()[-300:]}"
    if status == 2 and not err.strip():
        yield "refused without a message"
    if seconds > MOST_S + MORE_S * lines:
        yield f"took {seconds:.1f} s"


def _wrong_text(text: str, trial: Trial, whole: bool) -> Iterator[str]:
    yield from _raw_characters(text, "output")
    fault = _FAULT.search(text)
    if fault:
        yield f"fault told: {text[max(0, fault.start() - 100):fault.end() + 200]!r}"
    bare = "".join(text.split())
    if whole and trial.output == "text" and re.search(r"(?<!\[bold\])zqzq(?!\[/bold\])", bare):
        yield f"markup {CANARY} was taken for such"


def _raw_characters(text: str, place: str) -> Iterator[str]:
    raw = _RAW.search(text)
    if raw:
        yield f"raw {raw[0]!r} in the {place}: {text[max(0, raw.start() - 60):raw.start() + 20]!r}"


def _wrong_page(page: str) -> Iterator[str]:
    live = _LIVE.search(page)
    if live:
        yield f"markup of others in the page: {page[max(0, live.start() - 60):live.end() + 60]!r}"
    yield from _raw_characters(page, "page")


def _wrong_files(before: dict[str, bytes], after: dict[str, bytes], trial: Trial, status: int) -> Iterator[str]:
    """Input that changed. A run that is done may change what it is for, and add to the care log at its end only."""
    for name, old in before.items():
        new = after.get(name)
        if new != old and (status or name not in trial.may_change):
            yield f"{name} was {'changed' if new is not None else 'removed'}"
        elif name == "care.csv" and new is not None and "--undo" not in trial.arguments and not new.startswith(old):
            yield f"{name} is not what it was and a row more"
    for name in after.keys() - before.keys():
        if name.split("/")[-1].startswith(".writing-") or (status and name.split("/")[-1] == PAGE):
            yield f"{name} was left lying about"


def _wrong_json(out: str, trial: Trial) -> Iterator[str]:
    def refuse(word: str) -> None:
        raise ValueError(word)

    try:
        for text in out.splitlines() if trial.output == "lines" else [out] * (trial.output == "json"):
            json.loads(text, parse_constant=refuse)
    except ValueError as error:
        yield f"standard output is not JSON: {error}: {out[:100]!r}"


def _in_full(kind: str, number: int, room: Path) -> None:
    """A trial with its arguments and the whole traceback, where there is one."""
    shutil.rmtree(room / "trial", ignore_errors=True)
    (room / "trial").mkdir()
    trial = KINDS[kind](Random(f"{kind} {number}"), room / "trial")
    print(trial.arguments, trial.typed[:300], room, flush=True)
    with patch.object(sys, "stdin", io.TextIOWrapper(io.BytesIO(trial.typed), "utf-8", errors="surrogateescape")):
        app(list(trial.arguments), standalone_mode=False)


def _report(kind: str, tally: Tally, numbers: range) -> None:
    done, tried = tally.statuses, sum(tally.statuses.values())
    print(f"{kind} (numbers {numbers.start} to {numbers.stop - 1}): tried {tried:,}, accepted {done[0]:,}, refused "
          f"with a message {done[2]:,}, other {tried - done[0] - done[2]}, slowest {tally.slowest_s:.2f} s (number "
          f"{tally.slowest}), faults {len(tally.faults)}", flush=True)
    for number, wrong in tally.faults[:SHOWN]:
        print(f"  {kind} {number}: {wrong}", flush=True)


def main() -> None:
    """Do the trials and print what came of them."""
    reader = argparse.ArgumentParser(description="Damaged input by the thousand.")
    reader.add_argument("--count", type=int, default=1000, help="how many of each kind")
    reader.add_argument("--kind", choices=[*KINDS, "all"], default="all")
    reader.add_argument("--seed", type=int, default=0, help="the number of the first trial")
    reader.add_argument("--trace", action="store_true", help="do one trial and let its traceback through")
    wanted = reader.parse_args()
    numbers, faults = range(wanted.seed, wanted.seed + wanted.count), 0
    with tempfile.TemporaryDirectory(prefix="mutations-") as room, opened_once():
        for kind in KINDS if wanted.kind == "all" else [wanted.kind]:
            if wanted.trace:
                _in_full(kind, wanted.seed, Path(room))
                continue
            tallied(kind, OPENING, Path(room))
            tally = tallied(kind, numbers, Path(room))
            faults += len(tally.faults)
            _report(kind, tally, numbers)
    print(f"largest memory {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB")
    sys.exit(1 if faults else 0)


if __name__ == "__main__":
    main()
