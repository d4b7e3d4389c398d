"""Mistakes as values: where something is wrong, what was found, what would help.

Nothing here imports anything else of the package; every other room may import it.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

__all__ = ["InputError", "Problem", "Where", "nearest"]

MOST_WORDS: Final = 300  # characters of a message: what was found may be a whole file written without a line end
MOST_HINT: Final = 1200


@dataclass(frozen=True, order=True)
class Where:
    """A place in a file. Line and column count from 1; 0 means the whole file."""

    file: str
    line: int = 0
    column: int = 0

    def __str__(self) -> str:
        if not self.line:
            return self.file
        return f"{self.file}:{self.line}:{self.column}" if self.column else f"{self.file}:{self.line}"


@dataclass(frozen=True, order=True)
class Problem:
    """One mistake: its place, a short stable code, plain words and a hint. Long ones are cut in the middle."""

    where: Where
    code: str
    words: str
    hint: str = ""

    def __post_init__(self) -> None:
        """Cut what would fill a screen."""
        object.__setattr__(self, "words", _cut(self.words, MOST_WORDS))
        object.__setattr__(self, "hint", _cut(self.hint, MOST_HINT))

    def __str__(self) -> str:
        hint = f" {self.hint}" if self.hint else ""
        return f"{self.where}: {self.words}{hint} [{self.code}]"


class InputError(Exception):
    """Bad input, with every problem found. The screen prints it and leaves with status 2."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems: tuple[Problem, ...] = tuple(sorted(problems))
        super().__init__("\n".join(str(problem) for problem in self.problems))

    def __reduce__(self) -> tuple[type[InputError], tuple[tuple[Problem, ...]]]:
        """Made again from its problems, not from its text, where it crosses from one process to another."""
        return (type(self), (self.problems,))

    @classmethod
    def one(cls, where: Where, code: str, words: str, hint: str = "") -> InputError:
        """An error that carries a single problem."""
        return cls([Problem(where, code, words, hint)])


def _cut(text: str, most: int) -> str:
    """The text, or its first two thirds and its end where it is longer."""
    return text if len(text) <= most else f"{text[:most * 2 // 3]} ... {text[-most // 4:]}"


def nearest(word: str, known: Iterable[str], most_listed: int = 12) -> str:
    """A hint with the nearest known word and, where the list is short, all that are allowed."""
    choices = sorted(known)
    close = difflib.get_close_matches(word[:MOST_WORDS], choices, n=1, cutoff=0.6)
    hint = f'Did you mean "{close[0]}"?' if close else ""
    if choices and len(choices) <= most_listed:
        hint = f"{hint} Known: {', '.join(choices)}.".strip()
    return hint
