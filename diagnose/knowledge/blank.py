"""Writes the skeleton of a cause file from the format table, for a grower to fill in.

Until it is filled in the rule base cannot be read, and the checks name every line that still waits.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path

from diagnose.knowledge import words
from diagnose.knowledge.entries import read_scales
from diagnose.knowledge.folder import files_of
from diagnose.knowledge.form import Form
from diagnose.knowledge.reading import read_rule_file
from diagnose.model.knowledge import Scales
from diagnose.model.result import CauseKind
from diagnose.problems import InputError, Where, nearest
from diagnose.safe_write import create_file, unwritable

__all__ = ["blank_cause", "write_blank"]

_HEAD = ("# Fill in every line that ends after its colon; a neighbour file shows the manner, and\n"
         "# \"diagnose knowledge check\" names what is still open. Take these comments out at the end.\n")
_ID = re.compile(r"[a-z][a-z0-9_]*")
_MAY_BE_EMPTY = ("also_called", "look_alikes", "favoured_by", "spoken_against_by", "ruled_out_by", "settle", "cautions")
_HINTS: Mapping[str, str] = {  # what a line wants, where the name of its key does not say it
    "name": "what the grower reads", "spreads": '"no", or "yes: how it spreads"',
    "recovers": "what will and what will not recover, and by when", "look_again_days": "a number of days",
    "sign": "an id of knowledge/signs", "why": "one sentence, shown to the grower", "do": "one specific step",
    "do_not": "the usual harmful reflex", "from": "ids of knowledge/sources.yaml, or common practice",
    "signs": "ids that together must put this cause first",
}


def blank_cause(cause: str, kind: CauseKind, scales: Scales) -> str:
    """The text of a cause file with all its parts and none of its knowledge."""
    line = _liner({"how_common": scales.how_common, "urgency": words.URGENCIES, "how_often": scales.how_often})
    parts = {key: f"{key}: []\n" for key in _MAY_BE_EMPTY}
    parts |= {"cause": f"cause: {cause}\n", "kind": f"kind: {kind}\n", "story": "story: >\n\n"}
    parts["shows"] = "shows:\n" + 2 * _item(words.SHOWS_KEYS[0], "  ", line)
    now, never = (_item((verb, *words.ADVICE_KEYS[0]), "    ", line) for verb in ("do", "do_not"))
    parts["advice"] = f"advice:\n  now:\n{now}  later: []\n  never:\n{never}"
    parts["examples"] = 'examples:\n  - wins: "yes"\n' + line("    ", "signs")
    return _HEAD + "".join(parts.get(key) or line("", key) for key in words.CAUSE_KEYS)


def _liner(choices: Mapping[str, Iterable[str]]) -> Callable[[str, str], str]:
    """A writer of open lines: the key, and after it as a comment what it wants."""
    def line(indent: str, key: str) -> str:
        hint = _HINTS.get(key) or " | ".join(choices.get(key, ()))
        return f"{indent}{key}:  # {hint}\n" if hint else f"{indent}{key}:\n"

    return line


def _item(keys: Iterable[str], indent: str, line: Callable[[str, str], str]) -> str:
    first, *rest = keys
    return line(f"{indent}- ", first) + "".join(line(f"{indent}  ", key) for key in rest)


def write_blank(folder: Path, cause: str, kind: str) -> Path:
    """Write the skeleton into a rule base, which may hold other files that are not filled in yet.

    Raises InputError where the id is bad, the kind unknown, the cause there already, the scales cannot be read, or
    the file cannot be written.
    """
    where = Where("knowledge new")
    if not _ID.fullmatch(cause):
        raise InputError.one(where, "bad-id", f'"{cause}" is not an id.', "Use small letters, digits and underscores.")
    known = next((known for known in words.CAUSE_KINDS if known == kind), None)
    if known is None:
        raise InputError.one(where, "unknown-kind", f'"{kind}" is no kind of cause.', nearest(kind, words.CAUSE_KINDS))
    taken = next((path for path in files_of(folder / "causes") if path.stem == cause), None)
    place = taken or folder / "causes" / words.FOLDER_OF_KIND[known] / f"{cause}.yaml"
    if taken is not None or not _written(place, blank_cause(cause, known, _scales(folder))):
        raise InputError.one(Where(str(place)), "cause-exists", f'The cause "{cause}" has its file already.',
                             "It stays as it is.")
    return place


def _written(place: Path, text: str) -> bool:
    """Write a new file, its folder made where it is lacking; False if somebody has just made the file."""
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise unwritable(place, error) from error
    return create_file(place, text.encode())


def _scales(folder: Path) -> Scales:
    name = f"{folder.name}/scales.yaml"
    form = Form({})
    scales = read_scales(form, form.pairs(read_rule_file(folder / "scales.yaml", name), Where(name), "scales.yaml"))
    if form.problems:
        raise InputError(form.problems)
    return scales
