"""YAML in which every value remembers its place and every scalar stays text.

The ordinary loaders turn ``no`` into False, ``1:30`` into 90 and ``1.10`` into 1.1; here a scalar is what was
typed. Anchors, aliases, tags, doubled keys, tabs, several documents and very deep or large files are refused.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import yaml

from diagnose.problems import InputError, Problem, Where
from diagnose.raw_files import read_raw_file

__all__ = ["Items", "Pairs", "Text", "legible", "parse_marked", "read_marked", "where_of"]

MOST_BYTES = 6_000_000
MOST_DEPTH = 40
_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
# YAML 1.1, 5.1, the other way round: naming what is allowed takes ten times as long to compile
_FORBIDDEN = re.compile("[\x00-\x09\x0b\x0c\x0e-\x1f\x7f-\x84\x86-\x9f\ud800-\udfff\ufffe\uffff]")


class Text(str):
    """A scalar as typed, with its place."""

    where: Where

    def __new__(cls, value: str, where: Where) -> Text:
        text = super().__new__(cls, value)
        text.where = where
        return text

    def __getnewargs__(self) -> tuple[str, Where]:  # type: ignore[override]
        return (str(self), self.where)


class Items(list["Text | Items | Pairs"]):
    """A list with its place."""

    def __init__(self, where: Where) -> None:
        super().__init__()
        self.where = where


class Pairs(dict[str, "Text | Items | Pairs"]):
    """A mapping in the order typed, with its place and the place of each key."""

    def __init__(self, where: Where) -> None:
        super().__init__()
        self.where = where
        self.places: dict[str, Where] = {}

    def place(self, key: str) -> Where:
        """Where a key stands; the place of the mapping if it is not there."""
        return self.places.get(key, self.where)


Node = Text | Items | Pairs


def where_of(value: object, otherwise: Where) -> Where:
    """The place of a marked value, or the other place where the value has none."""
    found = getattr(value, "where", otherwise)
    return found if isinstance(found, Where) else otherwise


def legible(text: str) -> str:
    """The text with a blank for each tab and each character YAML does not allow; every position stays the same."""
    return _FORBIDDEN.sub(" ", text)  # a tab is among them


def read_marked(path: Path, shown_as: str | None = None) -> Node | None:
    """The marked content of a file; None if it is empty. Raises InputError with place and reason."""
    name = shown_as or str(path)
    raw = read_raw_file(path, name, MOST_BYTES)
    try:
        return parse_marked(raw.decode("utf-8-sig"), name)
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        raise InputError.one(Where(name, line), "not-utf-8", "This file is not UTF-8 text.") from error


def parse_marked(text: str, name: str) -> Node | None:
    """The marked content of YAML text. Raises InputError; ``name`` is the file named in messages."""
    if "\t" in text:
        raise InputError.one(_place(name, text, text.index("\t")), "tab", "A tab stands here.", "Use blanks.")
    forbidden = _FORBIDDEN.search(text)
    if forbidden:
        where = _place(name, text, forbidden.start())
        raise InputError.one(where, "not-yaml", "This holds a character YAML does not allow.")
    builder = _Builder(name)
    try:
        for event in yaml.parse(text, Loader=_LOADER):
            builder.take(event)
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        where = Where(name, mark.line + 1, mark.column + 1) if mark else Where(name)
        words = error.problem or error.context or "it cannot be parsed"
        raise InputError.one(where, "not-yaml", f"This is not valid YAML: {words}.") from error
    except (ValueError, OverflowError) as error:  # the loader in plain Python, on an escape beyond Unicode
        raise InputError.one(Where(name), "not-yaml", "This holds an escape for no character.") from error
    if builder.problems:
        raise InputError(builder.problems)
    return builder.root


def _place(name: str, text: str, position: int) -> Where:
    """The place of the character at a position."""
    return Where(name, text.count("\n", 0, position) + 1, position - text.rfind("\n", 0, position))


class _Builder:
    """Builds the marked tree from parser events without recursion."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.root: Node | None = None
        self.documents = 0
        self.stack: list[tuple[Items | Pairs, list[Text]]] = []
        self.problems: list[Problem] = []

    def take(self, event: Any) -> None:
        """Take one event of the YAML parser."""
        kind = type(event).__name__
        where = Where(self.name, event.start_mark.line + 1, event.start_mark.column + 1)
        if kind == "DocumentStartEvent":
            self.documents += 1
            if self.documents > 1:
                raise InputError.one(where, "several-documents", "A second document starts here.", "Keep one a file.")
        elif kind == "AliasEvent":
            raise InputError.one(where, "alias", "An alias (*) stands here.", "Write the value out.")
        elif kind in ("ScalarEvent", "SequenceStartEvent", "MappingStartEvent"):
            if event.anchor:
                raise InputError.one(where, "anchor", "An anchor (&) stands here.", "Write values out where needed.")
            if event.tag and event.tag != "!":
                raise InputError.one(where, "tag", f'A tag "{event.tag}" stands here.', "Write plain values.")
            self._value(kind, event, where)
        elif kind in ("SequenceEndEvent", "MappingEndEvent"):
            self.stack.pop()

    def _value(self, kind: str, event: Any, where: Where) -> None:
        if kind == "ScalarEvent":
            self._put(Text(event.value, where), where)
            return
        holder: Items | Pairs = Items(where) if kind == "SequenceStartEvent" else Pairs(where)
        self._put(holder, where)
        self.stack.append((holder, []))
        if len(self.stack) > MOST_DEPTH:
            raise InputError.one(where, "too-deep", f"Values are nested more than {MOST_DEPTH} deep here.")

    def _put(self, value: Node, where: Where) -> None:
        if not self.stack:
            self.root = None if value == "" else value
            return
        holder, pending = self.stack[-1]
        if isinstance(holder, Items):
            holder.append(value)
        elif not pending:
            if not isinstance(value, Text):
                raise InputError.one(where, "key-not-text", "A key must be plain text.")
            pending.append(value)
        else:
            self._pair(holder, pending.pop(), value)

    def _pair(self, holder: Pairs, key: Text, value: Node) -> None:
        if key in holder:
            words = f'"{key}" is written twice here.'
            hint = f"The first is on line {holder.place(key).line}. Keep one."
            self.problems.append(Problem(key.where, "same-key-twice", words, hint))
            return
        holder[str(key)] = value
        holder.places[str(key)] = key.where

