"""Reads marked YAML into values, noting every mistake instead of stopping at the first.

A ``Form`` holds the problems and the ids that may be referred to. Its methods return a usable stand-in where
something is wrong, so that reading goes on and all mistakes come out together.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field
from typing import TypeVar

from diagnose.marked_yaml import Items, Node, Pairs, Text, where_of
from diagnose.problems import Problem, Where, nearest

__all__ = ["COMMON_PRACTICE", "Form"]

COMMON_PRACTICE = "common practice"
Word = TypeVar("Word", bound=str)
_ID = re.compile(r"[a-z][a-z0-9_]*")


class _NoPairs(Pairs):
    """Stands in for a mapping that is not there; what it lacks is no mistake of its own."""


@dataclass(slots=True)
class Form:
    """Problems found so far and, by kind of thing, the ids that exist.

    Ids of an ``unsure`` kind are not judged: a file that may name them could not be read.
    """

    ids: Mapping[str, Collection[str]]
    problems: list[Problem] = field(default_factory=list)
    unsure: Collection[str] = ()

    def wrong(self, where: Where, code: str, words: str, hint: str = "") -> None:
        """Note a mistake."""
        self.problems.append(Problem(where, code, words, hint))

    def pairs(self, node: Node | None, where: Where, what: str) -> Pairs:
        """The node as a mapping."""
        if isinstance(node, Pairs):
            return node
        self.wrong(where_of(node, where), "not-a-mapping", f"{what} must be written as key: value lines.")
        return _NoPairs(where)

    def block(self, pairs: Pairs, key: str) -> Pairs:
        """The mapping under a key; an empty one where it is missing (noted by keys)."""
        return self.pairs(pairs[key], pairs.where, f'"{key}"') if key in pairs else _NoPairs(pairs.where)

    def keys(self, pairs: Pairs, needed: Iterable[str], optional: Iterable[str], what: str) -> bool:
        """Note unknown and missing keys; a misspelt key does not also count as a missing one.

        Whether all was right: if not, a part that seems to be lacking may only be misspelt.
        """
        if isinstance(pairs, _NoPairs):
            return False
        needed = tuple(needed)
        allowed = {*needed, *optional}
        unknown = [key for key in pairs if key not in allowed]
        missing = [key for key in needed if key not in pairs]
        for key in unknown:
            hint = nearest(key, allowed, most_listed=20)
            self.wrong(pairs.place(key), "unknown-key", f'{what} has no part called "{key}".', hint)
            missing = [name for name in missing if f'"{name}"' not in hint]
        for name in missing:
            self.wrong(pairs.where, "missing-key", f'{what} lacks the part "{name}".')
        return not unknown and not missing

    def text(self, pairs: Pairs, key: str, *, empty: bool = False, default: str = "") -> str:
        """The text under a key, blanks folded; "" where it is missing (noted by keys)."""
        if key not in pairs:
            return default
        value = pairs[key]
        if not isinstance(value, Text):
            self.wrong(where_of(value, pairs.where), "not-text", f'"{key}" must be plain text.')
            return default
        folded = " ".join(value.split())
        if not folded and not empty:
            self.wrong(value.where, "empty-text", f'"{key}" is empty.')
        return folded

    def items(self, pairs: Pairs, key: str) -> list[Node]:
        """The list under a key; [] where it is missing."""
        if key not in pairs:
            return []
        value = pairs[key]
        if isinstance(value, Items):
            return list(value)
        self.wrong(where_of(value, pairs.where), "not-a-list", f'"{key}" must be a list.')
        return []

    def texts(self, pairs: Pairs, key: str) -> tuple[str, ...]:
        """The list of texts under a key."""
        return tuple(" ".join(text.split()) for text in self._marked_texts(pairs, key))

    def _marked_texts(self, pairs: Pairs, key: str) -> list[Text]:
        found = []
        for item in self.items(pairs, key):
            if isinstance(item, Text):
                found.append(item)
            else:
                self.wrong(where_of(item, pairs.where), "not-text", f'An entry of "{key}" must be plain text.')
        return found

    def choice(self, pairs: Pairs, key: str, allowed: Collection[Word], default: Word) -> Word:
        """One of the allowed words under a key."""
        if key not in pairs:
            return default
        value = self.text(pairs, key)
        if not value:  # noted by text
            return default
        for word in allowed:
            if word == value:
                return word
        where = where_of(pairs[key], pairs.where)
        self.wrong(where, "unknown-word", f'"{value}" is not a word for "{key}".', nearest(value, allowed))
        return default

    def reference(self, kind: str, value: str, where: Where) -> str:
        """An id that must exist among things of this kind."""
        if value not in self.ids.get(kind, ()) and kind not in self.unsure:
            hint = nearest(value, self.ids.get(kind, ()))
            self.wrong(where, f"unknown-{kind}", f'There is no {kind} called "{value}".', hint)
        return value

    def references(self, pairs: Pairs, key: str, kind: str) -> tuple[str, ...]:
        """Ids under a key, given as a list or as one text."""
        if key not in pairs:
            return ()
        return tuple(self.reference(kind, str(text), text.where) for text in self._filled(pairs, key))

    def _filled(self, pairs: Pairs, key: str) -> list[Text]:
        """The texts under a key, given as a list or as one text; an empty one is noted and left out."""
        texts = self.one_or_more(pairs, key)
        for text in texts:
            if not text.strip():
                self.wrong(text.where, "empty-text", f'"{key}" is empty.')
        return [text for text in texts if text.strip()]

    def one_or_more(self, pairs: Pairs, key: str) -> list[Text]:
        """The texts under a key, given as a list or as one text, each with its place."""
        value = pairs.get(key)
        return [value] if isinstance(value, Text) else self._marked_texts(pairs, key)

    def sources(self, pairs: Pairs) -> tuple[str, ...]:
        """The ids under ``from``; at least one, or the words "common practice"."""
        texts = self._filled(pairs, "from")
        if pairs.get("from") == []:
            self.wrong(pairs.where, "no-source", 'A claim needs a source under "from".', 'Or write "common practice".')
        return tuple(str(text) if text == COMMON_PRACTICE else self.reference("source", str(text), text.where)
                     for text in texts)

    def number(self, pairs: Pairs, key: str, low: float, high: float, default: float) -> float:
        """A plain number under a key, within limits."""
        if key not in pairs:
            return default
        value = self.text(pairs, key)
        if not value:  # noted by text
            return default
        where = where_of(pairs[key], pairs.where)
        try:
            number = float(value)
        except ValueError:
            self.wrong(where, "not-a-number", f'"{value}" is not a number for "{key}".')
            return default
        if not low <= number <= high:
            self.wrong(where, "out-of-range", f'"{key}" must lie between {low:g} and {high:g}, not {value}.')
            return default
        return number

    def yes(self, pairs: Pairs, key: str) -> bool:
        """Whether "yes" stands under a key; a missing key is no."""
        return self.choice(pairs, key, ("yes", "no"), "no") == "yes"

    def identifier(self, pairs: Pairs, key: str) -> str:
        """An id: small letters, digits and underscores."""
        value = self.text(pairs, key)
        if value:
            self._check_id(value, where_of(pairs[key], pairs.where))
        return value

    def identifiers(self, pairs: Pairs, key: str) -> tuple[str, ...]:
        """The list of ids under a key."""
        texts = self._marked_texts(pairs, key)
        for text in texts:
            self._check_id(text, text.where)
        return tuple(str(text) for text in texts)

    def _check_id(self, value: str, where: Where) -> None:
        if not _ID.fullmatch(value):
            self.wrong(where, "bad-id", f'"{value}" is not an id.', "Use small letters, digits and underscores.")
