"""The text of a new case file, from what a question sequence found out."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import yaml

from diagnose.model.facts import Case, Origin, State

__all__ = ["new_case_text"]

WORDS = {State.PRESENT: "yes", State.ABSENT: "no", State.UNSURE: "unsure"}
FIELDS = ("group", "stage", "medium")


class _Word(str):
    """Written without quotes, such as yes."""


class _Letter(str):
    """Written as a block, line by line."""


class _Dumper(yaml.SafeDumper):
    """Writes letters as blocks and answers without quotes."""


_Dumper.add_representer(_Word, lambda dumper, word: dumper.represent_scalar("tag:yaml.org,2002:bool", str(word)))
_Dumper.add_representer(_Letter, lambda dumper, text: dumper.represent_scalar("tag:yaml.org,2002:str", str(text), "|"))


def new_case_text(name: str, case: Case, letter: str, told: Sequence[str], records: tuple[Path, str] | None,
                  folder: Path) -> str:
    """A case file called ``name`` for ``folder``: the letter, what was answered, and the records if they lie inside.

    ``told`` are questions and answers on circumstances in words, for whoever reads the case. Raises ValueError for
    records that lie outside the folder, where a case file may not point to.
    """
    content: dict[str, object] = {"case": name, "received": case.date}
    if letter:
        content["letter"] = _Letter(letter.strip() + "\n")
    plant = {field: getattr(case.plant, field) for field in FIELDS if getattr(case.plant, field)}
    if plant:
        content["plant"] = plant
    if records:
        place, of = records
        content["records"] = {"folder": place.resolve().relative_to(folder.resolve()).as_posix(), "plant": of}
    answers = {seen.sign: _Word(WORDS[seen.state]) for seen in case.signs if seen.origin is Origin.ANSWER}
    if answers:
        content["answers"] = answers
    if told:
        content["asked"] = list(told)
    content["state"] = "new"
    return yaml.dump(content, Dumper=_Dumper, sort_keys=False, allow_unicode=True, width=100)
