"""Changes a case file: who did what and when, one change at a time, with nobody's work written over."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from diagnose.intake.case_edit import Append, Put, Value, edited
from diagnose.intake.case_files import parse_case, paths_of_case, read_raw, shown_as
from diagnose.intake.locks import folder_lock
from diagnose.marked_yaml import Pairs, legible, parse_marked
from diagnose.model.cases import CaseFile, Deed, DeedWord, Outcome
from diagnose.problems import InputError, Where
from diagnose.reason.deeds import after
from diagnose.safe_write import replace_file, sweep

__all__ = ["do", "path_of_case", "set_outcome"]

BOM = b"\xef\xbb\xbf"


def path_of_case(folder: Path, case: str) -> Path:
    """The file of a case. Raises InputError where there is none, or where there are several."""
    found = paths_of_case(folder, case)
    if len(found) == 1:
        return found[0]
    if not found:
        raise InputError.one(Where(str(folder)), "no-such-case", f'There is no case "{case}" in this folder.')
    names = ", ".join(shown_as(path, folder) for path in found)
    raise InputError.one(Where(str(folder)), "several-files", f'Case "{case}" stands in several files: {names}.',
                         "Compare them and keep one; a folder copied between machines may have made the other.")


def do(path: Path, folder: Path, deed: Deed, *, take_over: bool = False) -> tuple[CaseFile, str]:
    """Do something with a case and write it down in its file.

    Gives the case as it stands now and a warning of the lock, if any. Raises InputError where the deed may not be
    done, where somebody else changed the file meanwhile, or where it cannot be written.
    """
    with folder_lock(path.parent) as warning:
        if not warning:
            sweep(path.parent)
        raw = read_raw(path, folder)
        name = shown_as(path, folder)
        case = parse_case(raw, name)
        then = after(case, deed, take_over=take_over)
        changes: list[Put | Append] = []
        if then.state != case.state or deed.did in (DeedWord.ASK, DeedWord.ANSWER, DeedWord.CLOSE):
            changes.append(Put("state", str(then.state)))
        if then.taken_by != case.taken_by:
            changes.append(Put("taken_by", then.taken_by))
        if deed.look_again:
            changes.append(Put("look_again", deed.look_again))
        return _write(path, raw, name, [*changes, Append("history", _written(deed))]), warning


def set_outcome(path: Path, folder: Path, outcome: Outcome, deed: Deed) -> tuple[CaseFile, str]:
    """Write down what the cause proved to be. Keys of the outcome that are not known here are kept."""
    with folder_lock(path.parent) as warning:
        raw = read_raw(path, folder)
        name = shown_as(path, folder)
        case = parse_case(raw, name)
        after(case, deed)
        if case.received and outcome.on < case.received:
            raise InputError.one(Where(name), "too-early", f"The letter came on {case.received.isoformat()}, so an "
                                 f"outcome cannot be known on {outcome.on.isoformat()}.")
        value = {**_other_keys(raw, name), "cause": outcome.cause, "result": outcome.result, "on": outcome.on}
        return _write(path, raw, name, [Put("outcome", value), Append("history", _written(deed))]), warning


def _other_keys(raw: bytes, name: str) -> dict[str, Value]:
    root = parse_marked(legible(raw.decode("utf-8-sig")), name)
    old = root.get("outcome") if isinstance(root, Pairs) else None
    return dict(old) if isinstance(old, Pairs) else {}


def _write(path: Path, raw: bytes, name: str, changes: list[Put | Append]) -> CaseFile:
    text = raw.decode("utf-8-sig")
    mark = BOM if raw.startswith(BOM) else b""
    new = mark + edited(text, name, changes).encode("utf-8")
    replace_file(path, raw, new)
    return parse_case(new, name)


def _written(deed: Deed) -> Mapping[str, Value]:
    """The deed as the history keeps it; what is not told is left out."""
    found: dict[str, Value] = {"on": deed.on, "by": deed.by, "did": deed.did, "at": deed.at, "note": deed.note,
                               "reply": deed.reply}
    found = {key: value for key, value in found.items() if value}
    if deed.look_again:
        found["look_again"] = deed.look_again
    if deed.said:
        found["said"] = dict(deed.said)
    return found
