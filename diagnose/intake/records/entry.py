"""One mapping of bench.yaml, read key by key; mistakes are gathered, not raised."""

from __future__ import annotations

import datetime as dt
import difflib
from collections.abc import Iterable

from diagnose.intake.records.care import iso_date
from diagnose.intake.records.doses import number_in
from diagnose.marked_yaml import Items, Pairs, Text, where_of
from diagnose.problems import Problem, Where, nearest

__all__ = ["Entry"]


class Entry:
    """Reads the values of a marked mapping; every reader gives "unknown" for a key that is absent or empty."""

    def __init__(self, pairs: Pairs, problems: list[Problem], notes: list[str], where: Where | None = None) -> None:
        self.pairs = pairs
        self.where = where or pairs.where
        self._problems = problems
        self._notes = notes
        self._asked: list[str] = []

    def wrong(self, where: Where, code: str, words: str, hint: str = "") -> None:
        """Gather a problem."""
        self._problems.append(Problem(where, code, words, hint))

    def place(self, key: str) -> Where:
        """Where the value of a key stands; the place of the entry if the key is not there."""
        return where_of(self.pairs.get(key), self.where)

    def text(self, key: str) -> str:
        """A single value, as typed."""
        self._asked.append(key)
        value = self.pairs.get(key)
        if value is None or isinstance(value, Text):
            return (value or "").strip()
        self.wrong(self.place(key), "not-a-value", f'"{key}" takes a single value.')
        return ""

    def choice(self, key: str, known: Iterable[str], code: str = "unknown-word") -> str:
        """A word of a closed list."""
        text, allowed = self.text(key), list(known)
        if not text or text in allowed:
            return text
        self.wrong(self.place(key), code, f'"{text}" is not known for "{key}".', nearest(text, allowed))
        return ""

    def number(self, key: str, low: float, high: float) -> float | None:
        """A number from low to high."""
        text = self.text(key)
        value = number_in(text) if text else None
        if text and (value is None or not low <= value <= high):
            self.wrong(self.place(key), "not-a-number", f'"{text}" does not do for "{key}".',
                       f"Expected a number from {low:g} to {high:g}.")
            return None
        return value

    def date(self, key: str) -> dt.date | None:
        """A day such as 2026-03-02."""
        text = self.text(key)
        day = iso_date(text)
        if text and day is None:
            self.wrong(self.place(key), "not-a-date", f'"{text}" is not a date.', "Write it as 2026-03-02.")
        return day

    def yes_no(self, key: str) -> bool | None:
        """True or false, also written yes or no."""
        text = self.text(key).casefold()
        if text in ("true", "yes", "false", "no"):
            return text in ("true", "yes")
        if text:
            self.wrong(self.place(key), "not-yes-or-no", f'"{text}" does not do for "{key}".', "Write yes or no.")
        return None

    def inner(self, key: str) -> Entry | None:
        """A mapping within this one."""
        self._asked.append(key)
        value = self.pairs.get(key)
        if isinstance(value, Pairs):
            return Entry(value, self._problems, self._notes)
        if value is not None and value != "":
            self.wrong(self.place(key), "not-a-mapping", f'"{key}" takes keys of its own.', f"{key}: {{...}}")
        return None

    def entries(self, key: str) -> list[tuple[str, Entry]]:
        """The named mappings under a key; one that is left empty has no keys."""
        holder = self.inner(key)
        found: list[tuple[str, Entry]] = []
        for name, value in holder.pairs.items() if holder else ():
            where = holder.pairs.place(name) if holder else self.where
            if isinstance(value, Pairs):
                found.append((name, Entry(value, self._problems, self._notes, where)))
            elif value == "":
                found.append((name, Entry(Pairs(where), self._problems, self._notes, where)))
            else:
                self.wrong(where, "not-a-mapping", f'"{name}" takes keys of its own.', f"{name}: {{...}}")
        return found

    def listed(self, key: str) -> list[Entry]:
        """The mappings of a list under a key."""
        self._asked.append(key)
        value = self.pairs.get(key)
        found = [Entry(item, self._problems, self._notes) for item in value if isinstance(item, Pairs)
                 ] if isinstance(value, Items) else []
        if value and (not isinstance(value, Items) or len(found) < len(value)):
            self.wrong(self.place(key), "not-a-list", f'"{key}" takes a list of entries with keys of their own.',
                       f"{key}: [{{...}}]")
        return found

    def done(self, what: str) -> None:
        """Report keys that were never asked for: a near miss of a known one is a mistake, any other is noted."""
        for key in self.pairs:
            if key in self._asked:
                continue
            where = self.pairs.place(key)
            if difflib.get_close_matches(key, self._asked, n=1, cutoff=0.75):
                self.wrong(where, "unknown-key", f'"{key}" is not a key of {what}.', nearest(key, self._asked))
            else:
                self._notes.append(f'{where.file}, line {where.line}: "{key}" is not a key of {what} and was not used.')
