"""Small letters of tests/phrases and what must be understood of them."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml

from diagnose.model.facts import Case, State
from tests.intake.letters.reading import read

FOLDER = Path(__file__).parents[2] / "phrases"
FILES = sorted(FOLDER.glob("*.yaml"))
KEYS = {"letter", "present", "absent", "unsure", "not_present", "not_absent", "not_unsure", "habits", "no_habits",
        "measures", "no_measures", "events", "no_events", "plant", "no_plant", "other_plants", "onset"}


def cases() -> Iterator[Any]:
    """Every case, named by its file and its words."""
    for path in FILES:
        for case in yaml.safe_load(path.read_text(encoding="utf-8"))["cases"]:
            yield pytest.param(case, id=f"{path.stem}: {case['letter'][:60]}")


@pytest.mark.parametrize("wanted", list(cases()))
def test_letter_is_understood(wanted: dict[str, Any]) -> None:
    """A small letter gives the states, habits, measures, events and plant that a volunteer would note."""
    assert set(wanted) <= KEYS
    assert list(differences(wanted, read(wanted["letter"]))) == []


def differences(wanted: dict[str, Any], case: Case) -> Iterator[str]:
    """What was wanted and not understood so, in words."""
    states = {sign.sign: sign.state for sign in case.signs}
    for state in State:
        yield from (f"{sign} is {states.get(sign)}" for sign in wanted.get(state, ()) if states.get(sign) != state)
        yield from (f"{sign} is {state}" for sign in wanted.get(f"not_{state}", ()) if states.get(sign) == state)
    habits = {habit.habit if habit.holds else f"no {habit.habit}" for habit in case.habits}
    yield from (f"habit {habit}" for habit in wanted.get("habits", ()) if habit not in habits)
    yield from (f"habit {habit} is told" for habit in wanted.get("no_habits", ()) if habit in habits)
    measures = {measure.measure: measure.value for measure in case.measures}
    for name, value in wanted.get("measures", {}).items():
        if measures.get(name) != pytest.approx(value, abs=0.06):
            yield f"{name} is {measures.get(name)}"
    yield from (f"{name} is told" for name in wanted.get("no_measures", ()) if name in measures)
    events = {event.event if event.happened else f"no {event.event}": event.days_ago for event in case.events}
    yield from (f"{name} {events.get(name)} days ago" for name, days in wanted.get("events", {}).items()
                if events.get(name) != days)
    yield from (f"{name} happened" for name in wanted.get("no_events", ()) if name in events)
    yield from plant_differences(wanted, case)


def plant_differences(wanted: dict[str, Any], case: Case) -> Iterator[str]:
    """What was wanted of the plant, the other plants and the onset."""
    reservoir = {True: "yes", False: "no", None: ""}[case.plant.reservoir]
    told = {name: getattr(case.plant, name) for name in ("group", "stage", "medium", "size", "place", "hemisphere")}
    told["reservoir"] = reservoir
    yield from (f"{name} is {told[name]}" for name, value in wanted.get("plant", {}).items() if told[name] != value)
    yield from (f"{name} is {told[name]}" for name in wanted.get("no_plant", ()) if told[name])
    if "onset" in wanted and case.onset_days_ago != wanted["onset"]:
        yield f"onset {case.onset_days_ago}"
    groups = [plant.group for plant in case.other_plants]
    if "other_plants" in wanted and groups != wanted["other_plants"]:
        yield f"other plants {groups}"
