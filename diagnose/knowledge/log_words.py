"""Reads knowledge/log.yaml: the words of one short line for the care log."""

from __future__ import annotations

from collections.abc import Collection
from pathlib import Path

from diagnose.knowledge import words
from diagnose.knowledge.entries import read_list
from diagnose.knowledge.form import Form
from diagnose.knowledge.reading import read_rule_file
from diagnose.knowledge.terms import terms_of
from diagnose.marked_yaml import Pairs
from diagnose.model.log_words import LogWords
from diagnose.problems import InputError, Where

__all__ = ["read_log_words"]


def read_log_words(folder: Path) -> LogWords:
    """The words of log.yaml of the folder. Raises InputError with every mistake."""
    name = f"{folder.name}/log.yaml"
    form = Form({})
    root = form.pairs(read_rule_file(folder / "log.yaml", name), Where(name), "log.yaml")
    form.keys(root, ("actions", "every", "joins", "passed_over", "stages"), (), "log.yaml")
    found = LogWords(
        _phrases(form, root, "actions", "action", words.LOGGED_EVENTS),
        _phrases(form, root, "stages", "stage", terms_of(folder).stages),
        *(tuple(text.lower() for text in form.texts(root, key)) for key in ("every", "joins", "passed_over")))
    if form.problems:
        raise InputError(form.problems)
    return found


def _phrases(form: Form, root: Pairs, key: str, kind: str, allowed: Collection[str]) -> dict[str, str]:
    """The id of each phrase; each id must be there, and no phrase may stand for two."""
    found: dict[str, str] = {}
    for name, phrases, pairs in read_list(form, root, key, lambda f, p: _entry(f, p, kind, allowed)):
        for phrase in phrases:
            if found.setdefault(phrase, name) != name:
                form.wrong(pairs.place("words"), "same-phrase-twice",
                           f'"{phrase}" stands for both {found[phrase]} and {name}.')
    for name in allowed:
        if name not in found.values() and key in root:
            form.wrong(root.place(key), "missing-key", f'No words are given for the {kind} "{name}".')
    return found


def _entry(form: Form, pairs: Pairs, kind: str, allowed: Collection[str]) -> tuple[str, tuple[str, ...], Pairs]:
    form.keys(pairs, (kind, "words"), (), f"An entry of {kind}")
    name = form.choice(pairs, kind, allowed, next(iter(allowed)))
    return name, tuple(text.lower() for text in form.texts(pairs, "words")), pairs
