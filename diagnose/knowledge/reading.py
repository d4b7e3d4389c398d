"""Reads one file of a rule base: marked YAML in which nothing is hidden from whoever reads it on a screen."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

from diagnose.marked_yaml import Items, Node, Pairs, Text, read_marked
from diagnose.problems import InputError, Problem, Where

__all__ = ["read_rule_file"]

# control and format characters, which move the cursor, turn the direction of writing or are not seen at all
_UNSEEN = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\xad\u200b-\u200f\u2028-\u202e\u2060-\u206f\ud800-\uf8ff\ufeff\ufff9-\ufffb]")


def read_rule_file(path: Path, shown: str) -> Node | None:
    """The marked content of a file; None if it is empty. Raises InputError, also for characters that are not seen."""
    root = read_marked(path, shown)
    problems = [Problem(where, "unseen-character", f"A character that is not seen (U+{ord(found[0]):04X}) stands here.",
                        "Take it out.")
                for text, where in _texts(root) if (found := _UNSEEN.search(text))]
    if problems:
        raise InputError(problems)
    return root


def _texts(root: Node | None) -> Iterator[tuple[str, Where]]:
    """Every key and value with its place; the depth of a file has been bounded where it was parsed."""
    if isinstance(root, Text):
        yield root, root.where
    elif isinstance(root, Items):
        for item in root:
            yield from _texts(item)
    elif isinstance(root, Pairs):
        for key, value in root.items():
            yield key, root.place(key)
            yield from _texts(value)
