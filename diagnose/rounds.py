"""The rounds of a bench: every plant's facts from its records, and the outlook over all of them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Collection, Iterable
from dataclasses import replace
from pathlib import Path

from diagnose.frozen import frozen
from diagnose.intake.records import read_every_plant
from diagnose.intake.records.folder import Records
from diagnose.intake.records.sightings import sightings_of
from diagnose.knowledge import words
from diagnose.knowledge.desk import read_wording
from diagnose.model.desk import Wording
from diagnose.model.facts import Case, PlantContext
from diagnose.model.outlook import BenchPlant, Outlook
from diagnose.problems import InputError, Problem, Where, nearest
from diagnose.reason.outlook import outlook_of
from diagnose.workbench import Workbench

__all__ = ["Progress", "Rounds", "outlook", "outlook_wording"]

Progress = Callable[[str, int, int], None]
_WORDS = (
    "figure", "figure_during", "figure_now", "wanted_at_least", "wanted_at_most", "counts_above", "counts_below",
    "reason", "reason_of_figures", "between", "happened", "happened_today", "not_happened", "sign", "sign_today",
    "first", "first_open", "neighbour_has_it", "shared_place", "inspect", "and_more", "still_there", "gone",
    "treat_again", "treat_again_because", "look_after_treating", "look_after_treating_because", "look_again",
    "look_again_because",
)
_GIVEN = PlantContext()


@frozen
class Rounds:
    """An outlook and what the records of the bench left open."""

    outlook: Outlook
    notes: tuple[str, ...]


def outlook(bench: Workbench, folder: Path, date: dt.date, progress: Progress, date_order: str = "") -> Rounds:
    """The outlook over a records folder as of a date.

    ``progress`` is told what is being done, how much of it is done, and how much there is. Raises InputError with every
    problem of the bench and its logs.
    """
    every = read_every_plant(folder, date=date, date_order=date_order or None, words=bench.base.terms)
    _check_groups(bench, every, folder)
    plants = []
    problems: set[Problem] = set()
    for number, records in enumerate(every, 1):
        try:
            plants.append(_plant(bench, records))
        except InputError as error:
            problems.update(error.problems)
        progress("reading", number, len(every))
    if problems:
        raise InputError(problems)
    found = outlook_of(bench.rulebook, plants, date, outlook_wording(bench.folder),
                       lambda number: progress("reasoning", number, len(every)))
    return Rounds(found, _notes(plants))


def outlook_wording(folder: Path) -> Wording:
    """The texts of outlooks in a rule base. Raises InputError where one is missing."""
    return read_wording(folder, "outlook", (*_WORDS, *(f"did_{event}" for event in words.EVENTS)))


def _check_groups(bench: Workbench, every: Iterable[Records], folder: Path) -> None:
    """Raises InputError for plants of a group that the rule base does not know."""
    problems = []
    for records in every:
        group = records.plant.group
        if group and group not in bench.base.groups:
            where = records.plant.where if records.plant.where.line else Where(str(folder / "bench.yaml"))
            problems.append(Problem(where, "unknown-group", f'There is no group "{group}" ({records.plant.plant}).',
                                    nearest(group, bench.base.groups, 25)))
    if problems:
        raise InputError(problems)


def _plant(bench: Workbench, records: Records) -> BenchPlant:
    case = bench.with_records(Case(records.date), _GIVEN, records)
    rules = bench.base.outlook
    clean: Collection[str] = rules.clean if rules else ()
    sightings = sightings_of(records, bench.base.signs, clean,
                             lambda detail: bench.reader.read(detail, date=records.date, given=_GIVEN))
    place = records.place.place if records.place else ""
    return BenchPlant(records.plant.plant, place, replace(case, signs=()), sightings)


def _notes(plants: Iterable[BenchPlant]) -> tuple[str, ...]:
    """What the records left open: what holds for several plants is said once, with how many."""
    told: dict[str, list[str]] = {}
    for plant in plants:
        for note in plant.case.notes:
            if not note.startswith("water balance:"):  # of each pot its own, and no lack
                told.setdefault(note, []).append(plant.plant)
    return tuple(f"{note} ({_who(named)})" for note, named in told.items())


def _who(plants: list[str]) -> str:
    return ", ".join(plants) if len(plants) <= 3 else f"{len(plants)} plants"
