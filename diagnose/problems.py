"""Mistakes as values: where something is wrong, what was found, what would help.

Nothing here imports anything else of the package; every other room may import it.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass

__all__ = ["InputError", "Problem", "Where", "nearest"]


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
    """One mistake: its place, a short stable code, plain words and a hint."""

    where: Where
    code: str
    words: str
    hint: str = ""

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


def nearest(word: str, known: Iterable[str], most_listed: int = 12) -> str:
    """A hint with the nearest known word and, where the list is short, all that are allowed."""
    choices = sorted(known)
    close = difflib.get_close_matches(word, choices, n=1, cutoff=0.6)
    hint = f'Did you mean "{close[0]}"?' if close else ""
    if choices and len(choices) <= most_listed:
        hint = f"{hint} Known: {', '.join(choices)}.".strip()
    return hint
