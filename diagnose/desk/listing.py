"""Judges every case of a folder: from the store where nothing has changed, else afresh, on several cores if many."""

from __future__ import annotations

import contextlib
import datetime as dt
import multiprocessing
import os
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from pathlib import Path

from diagnose.desk.judge import Judge, Opener, told
from diagnose.desk.keep import Kept, Store, digest, program_digest, records_digest
from diagnose.intake.case_files import case_paths, parse_case, read_raw, shown_as
from diagnose.model.cases import CaseFile, DeskCase
from diagnose.problems import InputError

__all__ = ["Progress", "list_cases"]

Progress = Callable[[int, int], None]  # how many of how many are judged
ALONE_UP_TO = 120  # as many cases as are judged before other processes would have started
MOST_PROCESSES = 8
BATCH = 16
_ONE_THREAD = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS", "POLARS_MAX_THREADS")


def list_cases(folder: Path, judge: Judge, today: dt.date, progress: Progress) -> list[DeskCase]:
    """Every case of a folder, in the order of the file names; a file that cannot be used has a problem instead."""
    store = Store(folder, program_digest(judge.opener.knowledge, dict(judge.opener.priors)))
    kept, memo = store.read(), dict[Path, str]()
    names = {path: shown_as(path, folder) for path in case_paths(folder)}
    found: dict[str, DeskCase] = {}
    pending: list[Path] = []
    for path, name in names.items():
        try:
            known = kept.get(name)
            if known and _still_true(known, read_raw(path, folder), path, today, memo):
                found[name] = known.found
            else:
                pending.append(path)
        except InputError as error:
            found[name] = DeskCase(CaseFile(name, path.stem), None, told(error.problems))
    current = [entry for name, entry in kept.items() if name in found]
    if pending and (not kept or store.overgrown(len(names))):
        store.begin(current)
    for batch in _judged(pending, folder, judge, today, progress):
        store.add(entry for entry in batch if entry.content)
        found |= {entry.file: _with_losses(entry.found, kept.get(entry.file)) for entry in batch}
    return _with_doubles([found[name] for name in names.values()])


def _with_losses(case: DeskCase, before: Kept | None) -> DeskCase:
    """The case, with a word if its file has lost entries of the history that stood there at the last listing."""
    history = before.found.case_file.history if before else ()
    lost = [deed for deed in history if deed not in case.case_file.history]
    if case.glance is None or not lost:
        return case
    words = (f'"{lost[0].did}" by {lost[0].by or "somebody"} on {lost[0].on.isoformat()} is gone from this file since '
             "the last list; an older copy may have been written over it. Ask who changed it.")
    return replace(case, problem=" ".join(part for part in (case.problem, words) if part))


def _still_true(known: Kept, raw: bytes, path: Path, today: dt.date, memo: dict[Path, str]) -> bool:
    file = known.found.case_file
    return (known.content == digest(raw) and known.as_of in ("", today.isoformat())
            and known.records == records_digest(path.parent, file.records_folder, memo))


def _judged(pending: Sequence[Path], folder: Path, judge: Judge, today: dt.date, progress: Progress
            ) -> Iterator[list[Kept]]:
    """The pending cases, batch by batch."""
    batches = [pending[start:start + BATCH] for start in range(0, len(pending), BATCH)]
    processes = min(MOST_PROCESSES, _cores())
    if len(pending) <= ALONE_UP_TO or processes == 1:
        results: Iterator[list[Kept]] = (judge_batch(judge, batch, folder, today) for batch in batches)
        yield from _counted(results, len(pending), progress)
        return
    with _one_thread_each(), ProcessPoolExecutor(processes, multiprocessing.get_context("spawn"), _open,
                                                 (judge.opener,)) as pool:
        results = pool.map(_judge_there, ((batch, folder, today) for batch in batches))
        yield from _counted(results, len(pending), progress)


def _counted(results: Iterator[list[Kept]], total: int, progress: Progress) -> Iterator[list[Kept]]:
    done = 0
    for batch in results:
        done += len(batch)
        progress(done, total)
        yield batch


def judge_batch(judge: Judge, paths: Sequence[Path], folder: Path, today: dt.date) -> list[Kept]:
    """Judge some case files; a fault in one is its problem alone."""
    memo: dict[Path, str] = {}
    return [_judge_one(judge, path, folder, today, memo) for path in paths]


def _judge_one(judge: Judge, path: Path, folder: Path, today: dt.date, memo: dict[Path, str]) -> Kept:
    name = shown_as(path, folder)
    try:
        raw = read_raw(path, folder)
        records = records_digest(path.parent, _records_of(raw, name), memo)  # before they are read: never too new
        found = judge.glance(raw, path, name, today)
    except InputError as error:
        return Kept(name, "", "", "", DeskCase(CaseFile(name, path.stem), None, told(error.problems)))
    except Exception as error:  # the run goes on, and the file is named
        words = f"a fault of the program: {type(error).__name__}: {error}"
        return Kept(name, "", "", "", DeskCase(CaseFile(name, path.stem), None, words))
    as_of = today.isoformat() if found.case_file.received is None and found.glance else ""
    return Kept(name, digest(raw), records, as_of, found)


def _records_of(raw: bytes, name: str) -> str:
    try:
        return parse_case(raw, name).records_folder if b"records" in raw else ""
    except InputError:
        return ""


_JUDGES: list[Judge] = []  # the judge of a process that was started for judging


def _open(opener: Opener) -> None:
    _JUDGES[:] = [Judge.open(opener)]


def _judge_there(work: tuple[Sequence[Path], Path, dt.date]) -> list[Kept]:
    return judge_batch(_JUDGES[0], *work)


def _with_doubles(cases: list[DeskCase]) -> list[DeskCase]:
    """The cases, those whose id stands in several files with a word about it."""
    files: dict[str, list[str]] = {}
    for case in cases:
        if case.glance is not None:
            files.setdefault(case.case_file.case, []).append(case.case_file.file)
    return [_doubled(case, files.get(case.case_file.case, [])) for case in cases]


def _doubled(case: DeskCase, files: Sequence[str]) -> DeskCase:
    others = [file for file in files if file != case.case_file.file]
    if case.glance is None or not others:
        return case
    words = (f"The same case stands in {', '.join(others)}; a folder that is copied between machines may hold two "
             "states of it. Compare them and keep one.")
    return replace(case, problem=" ".join(part for part in (case.problem, words) if part))


@contextlib.contextmanager
def _one_thread_each() -> Iterator[None]:
    """Processes started here do their arithmetic in one thread each, or they would get in each other's way."""
    before = {name: os.environ.get(name) for name in _ONE_THREAD}
    os.environ.update(dict.fromkeys(_ONE_THREAD, "1"))
    try:
        yield
    finally:
        for name, value in before.items():
            if value is None:
                os.environ.pop(name, None)
            else:
                os.environ[name] = value


def _cores() -> int:
    try:
        return len(os.sched_getaffinity(0))
    except AttributeError:
        return os.cpu_count() or 1
