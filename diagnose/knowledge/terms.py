"""Reads knowledge/terms.yaml: the words that this family of plants is described with, in rules, records and forms."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from diagnose.knowledge.form import Form
from diagnose.knowledge.reading import read_rule_file
from diagnose.marked_yaml import Pairs
from diagnose.model.terms import PlantTerms
from diagnose.problems import InputError, Where

__all__ = ["TERMS_FILE", "read_terms", "terms_of"]

TERMS_FILE: Final = "terms.yaml"
_LISTS: Final = ("stages", "media", "sizes", "traits", "needs")


def terms_of(folder: Path) -> PlantTerms:
    """The terms of a rule base, without the rest of it. Raises InputError with every mistake."""
    name = f"{folder.name}/{TERMS_FILE}"
    form = Form({})
    return read_terms(form, form.pairs(read_rule_file(folder / TERMS_FILE, name), Where(name), TERMS_FILE))


def read_terms(form: Form, root: Pairs) -> PlantTerms:
    """The terms of the file. Raises InputError where anything is wrong: nothing else could be read without them."""
    form.keys(root, ("plants", *_LISTS), ("needs_if_known",), TERMS_FILE)
    lists = {key: _ids(form, root, key) for key in (*_LISTS, "needs_if_known")}
    found = PlantTerms(form.text(root, "plants"), **lists)
    for need in found.needs_if_known:
        if need not in found.needs:
            form.wrong(root.place("needs_if_known"), "unknown-need", f'"{need}" does not stand under "needs".')
    if form.problems:
        raise InputError(form.problems)
    return found


def _ids(form: Form, root: Pairs, key: str) -> tuple[str, ...]:
    """The ids of a list, each once."""
    found = form.identifiers(root, key)
    if not found and key in root:
        form.wrong(root.place(key), "missing-key", f'The list "{key}" names nothing.')
    once = tuple(dict.fromkeys(found))
    for word in once:
        if found.count(word) > 1:
            form.wrong(root.place(key), "same-id-twice", f'"{word}" stands twice under "{key}".', "Keep one.")
    return once
