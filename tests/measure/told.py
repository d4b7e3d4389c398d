"""What publications say, as facts: rows_as_facts.yaml and statements.yaml of tests/data put to the rule base."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import yaml

from diagnose.model.facts import Case, Event, Habit, Measure, Origin
from diagnose.model.knowledge import Example
from diagnose.problems import Where
from diagnose.reason.examples import case_of
from diagnose.reason.rulebook import Rulebook
from diagnose.reason.standing import Standing, stand

__all__ = ["Told", "published_rows_told", "statements_told"]

DATA = Path(__file__).parent.parent / "data"


@dataclass(frozen=True, slots=True)
class Told:
    """Facts as a publication tells them, the causes it may mean, likeliest first, and where it stands."""

    id: str
    case: Case
    given: tuple[str, ...]
    causes: tuple[str, ...]
    source: str

    def stand(self, rulebook: Rulebook) -> Standing:
        """How things stand for these facts."""
        return stand(rulebook, self.case, self.given)


def _case(entry: dict[str, Any]) -> tuple[Case, tuple[str, ...]]:
    """The facts of an entry, as if answered at the bench, and the conditions that it takes as given."""
    example = Example("", tuple(entry.get("signs", ())), tuple(entry.get("absent", ())), entry.get("plant", {}),
                      tuple(entry.get("conditions", ())), Where("facts"))
    habits = tuple(Habit(habit, Origin.ANSWER) for habit in entry.get("habits", ()))
    events = tuple(Event(event, days, Origin.ANSWER) for event, days in entry.get("events", {}).items())
    measures = tuple(Measure(measure, value, "", Origin.ANSWER) for measure, value in entry.get("measures", {}).items())
    return replace(case_of(example), habits=habits, events=events, measures=measures), example.conditions


def _read(name: str, key: str) -> list[dict[str, Any]]:
    entries: list[dict[str, Any]] = yaml.safe_load((DATA / name).read_text(encoding="utf-8"))[key]
    return entries


def published_rows_told() -> list[Told]:
    """Every published row that was put into facts, in the order of its file."""
    rows = {row["id"]: row for row in _read("published_rows.yaml", "rows")}
    entries = [(entry, rows[entry["row"]]) for entry in _read("rows_as_facts.yaml", "rows")]
    return [Told(entry["row"], *_case(entry), (*_meant(row), *entry.get("or", ())), row["source"])
            for entry, row in entries]


def _meant(row: dict[str, Any]) -> tuple[str, ...]:
    """The cause of a row; a finer one that its note names goes before it; then what the note accepts as second."""
    note = str(row["note"])
    for word, cause in (("weevil", "weevil"), ("midge", "blossom_midge")):
        if note.startswith("other:") and word in note:
            return (cause,)
    second = note.partition("accept ")[2].removesuffix(" as second.")
    accepted = tuple(second.split(" or ")) if second else ()
    return (str(row["cause"]).removeprefix("other:"), *accepted)


def statements_told() -> list[Told]:
    """Every statement of the trade, in the order of its file."""
    return [Told(f"{entry['cause']}: {entry['said']}", *_case(entry), (entry["cause"], *entry.get("or", ())),
                 entry["from"]) for entry in _read("statements.yaml", "statements")]

