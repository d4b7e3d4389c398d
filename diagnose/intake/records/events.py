"""The care log as facts of a case: what was done when, what was surely not done, what was seen, what plant it is."""

from __future__ import annotations

import re
from collections.abc import Collection

from diagnose.intake.records.folder import Records
from diagnose.intake.records.terms import ACTIONS, WETTING
from diagnose.intake.records.window import day_number
from diagnose.model.facts import Event, Origin, PlantContext, SeenSign, State
from diagnose.problems import Problem, Where, nearest

__all__ = ["current_stage", "events_of", "noted_words", "plant_context", "seen_signs"]

SEEN_DAYS = 60  # what was seen longer ago need not be there any more
NOTED_DAYS = 21  # how long a remark on what was done tells of how the plant is kept
_OBSERVED = ("seen", "stage", "weigh")  # that these were not noted says nothing
_SIGN_ID = re.compile(r"[a-z]+(?:_[a-z0-9]+)+")


def events_of(records: Records) -> tuple[Event, ...]:
    """Every action with its days ago, and for every action for how many days back it is known not to have been done.

    The latter reach back to the day after the last time it was done, or to the plant's first care row; there are none
    where the log is partial.
    """
    today = day_number(records.date)
    done = [Event(row.action, today - day_number(row.date), Origin.CARE_LOG, quote=row.detail)
            for row in reversed(records.care)]
    history = records.history
    if history.known_from is None or history.partial:
        return tuple(dict.fromkeys(done))
    not_done = []
    for action in ACTIONS:
        last = max(history.days_of(frozenset({action}), today), default=history.known_from - 1)
        if action not in _OBSERVED and today > last:
            not_done.append(Event(action, today - last - 1, Origin.CARE_LOG, happened=False))
    return (*dict.fromkeys(done), *not_done)


def current_stage(records: Records) -> str:
    """The stage on the date: that of the last stage row, else that of the bench entry, else empty text."""
    stages = [row.detail for row in records.care if row.action == "stage"]
    return stages[-1] if stages else records.plant.stage


def plant_context(records: Records) -> PlantContext:
    """What kind of plant it is and how it is grown on the date."""
    plant, place = records.plant, records.place
    found = {
        "group": plant.group, "stage": current_stage(records), "medium": plant.medium, "size": plant.size,
        "place": place.kind if place else "", "hemisphere": place.hemisphere if place else "",
    }
    logged = any(row.action == "stage" for row in records.care)
    reservoir = None if plant.reservoir_ml is None else plant.reservoir_ml > 0
    origins = [(key, Origin.CARE_LOG if key == "stage" and logged else Origin.PLANT)
               for key, value in found.items() if value]
    origins += [("reservoir", Origin.PLANT)] if reservoir is not None else []
    return PlantContext(**found, reservoir=reservoir, origins=tuple(origins))


def noted_words(records: Records) -> tuple[str, ...]:
    """The remarks of the last three weeks on what was done, for the letter reader; of moves the last alone.

    Beside a wetting a remark tells of the water: "rain" is no weather there.
    """
    done = [row for row in records.care
            if row.detail and row.action not in _OBSERVED and (records.date - row.date).days <= NOTED_DAYS]
    moves = [row for row in done if row.action == "move"]
    kept = (row for row in done if row.action != "move" or row is moves[-1])
    return tuple(dict.fromkeys(f"{row.detail} water" if row.action in WETTING else row.detail for row in kept))


def seen_signs(
    records: Records, known_signs: Collection[str]
) -> tuple[tuple[SeenSign, ...], tuple[str, ...], tuple[Problem, ...]]:
    """What was seen within the last 60 days: signs given by id, plain words for the letter reader, and problems.

    A detail that has the form of an id but is none of ``known_signs`` is a problem with its line.
    """
    signs: list[SeenSign] = []
    words: list[str] = []
    problems: list[Problem] = []
    for row in records.care:
        if row.action != "seen" or (records.date - row.date).days > SEEN_DAYS:
            continue
        if row.detail in known_signs:
            signs.append(SeenSign(row.detail, State.PRESENT, Origin.CARE_LOG, quote=row.detail))
        elif _SIGN_ID.fullmatch(row.detail):
            where = Where("care.csv", row.line)
            hint = nearest(row.detail, known_signs)
            problems.append(Problem(where, "unknown-sign", f'"{row.detail}" is not a sign.', hint))
        else:
            words.append(row.detail)
    return tuple(dict.fromkeys(signs)), tuple(words), tuple(problems)
