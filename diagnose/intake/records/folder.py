"""A records folder becomes the records of a plant as of a date; nothing logged later is used."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from diagnose.intake.records.bench import Bench, ClimateHints, Place, Plant, read_bench
from diagnose.intake.records.care import ALL_PLANTS, CareRow, read_care
from diagnose.intake.records.care_measures import CareHistory
from diagnose.intake.records.feed_label import conductivity_ms_cm
from diagnose.intake.records.lines import in_lines
from diagnose.intake.records.terms import DATE_ORDERS
from diagnose.intake.records.whereabouts import Stay, stays, vague_moves
from diagnose.intake.records.window import day_number
from diagnose.model.terms import PlantTerms
from diagnose.problems import InputError, Problem, Where, nearest

if TYPE_CHECKING:
    from diagnose.intake.records.climate import Climate

__all__ = ["Records", "read_every_plant", "read_records"]


@dataclass(frozen=True, eq=False)
class Records:
    """What the records folder says of one plant up to and with ``date``.

    ``care`` holds the rows of the plant and those of all plants since it is there, oldest first. ``climate`` is that
    of the places where the plant stood, each for its days; None where no readings exist. ``notes`` say what was
    guessed, left out or missing.
    """

    date: dt.date
    plant: Plant
    place: Place | None
    care: tuple[CareRow, ...]
    climate: Climate | None
    notes: tuple[str, ...]

    @property
    def history(self) -> CareHistory:
        """The care of the plant as the measures of care take it."""
        potted = self.plant.potted_on
        return CareHistory(
            self.care, day_number(self.care[0].date) if self.care else None, self.plant.partial_log,
            day_number(potted) if potted and potted <= self.date else None)


def read_records(folder: Path, *, plant: str, date: dt.date, date_order: str | None = None,
                 words: PlantTerms | None = None) -> Records:
    """The records of one plant. ``date_order`` (day-first or month-first) settles ambiguous dates of climate exports.
    ``words`` are those that plants may be described with; without them any are taken.

    Raises InputError with every problem found in bench and care log, and for climate exports that cannot be used.
    """
    bench = read_bench(folder / "bench.yaml", words=words)
    if plant not in bench.plants:
        hint = nearest(plant, bench.plants)
        raise InputError.one(Where(bench.file), "unknown-plant", f'"{plant}" is not a plant of this bench.', hint)
    return _read(folder, bench, [plant], date, date_order, words)[0]


def read_every_plant(folder: Path, *, date: dt.date, date_order: str | None = None,
                     words: PlantTerms | None = None) -> tuple[Records, ...]:
    """The records of every plant of the bench, in its order; each climate export is read once. Raises InputError."""
    bench = read_bench(folder / "bench.yaml", words=words)
    return _read(folder, bench, list(bench.plants), date, date_order, words)


def _read(
    folder: Path, bench: Bench, plants: list[str], date: dt.date, date_order: str | None, words: PlantTerms | None
) -> tuple[Records, ...]:
    if date_order and date_order not in DATE_ORDERS:
        raise InputError.one(Where("--date-order"), "date-order", f'"{date_order}" is not a date order.',
                             nearest(date_order, DATE_ORDERS))
    rows, care_notes, problems = _care(folder, bench, date, words.stages if words else None)
    of_plant = {plant: _rows_of(plant, rows) for plant in plants}
    where = {plant: stays(bench.plants[plant].place, of_plant[plant], bench.places) for plant in plants}
    climates: dict[str, Climate | None] = {}
    for place in dict.fromkeys(stay.place for each in where.values() for stay in each if stay.place):
        try:
            climates[place] = _climate(folder, place, bench.hints.get(place, ClimateHints()), date, date_order)
        except InputError as error:
            problems += error.problems
    if problems:
        raise InputError(problems)
    return tuple(
        _records(bench, bench.plants[plant], date, of_plant[plant], where[plant], climates, care_notes)
        for plant in plants)


def _care(
    folder: Path, bench: Bench, date: dt.date, stages: Collection[str] | None
) -> tuple[tuple[CareRow, ...], tuple[str, ...], list[Problem]]:
    path = folder / "care.csv"
    if not path.exists():
        return (), ("there is no care.csv: nothing is known of the care",), []
    try:
        rows, problems = read_care(path, str(path), bench.plants, date, stages)
    except InputError as error:
        return (), (), list(error.problems)
    return rows, (), problems


def _rows_of(plant: str, rows: Iterable[CareRow]) -> tuple[CareRow, ...]:
    """Rows of a plant; those for all plants count from its arrival on, where that is logged."""
    own = [row for row in rows if row.plant in (plant, ALL_PLANTS)]
    arrived = [row.date for row in own if row.plant == plant and row.action == "arrive"]
    return tuple(row for row in own if row.plant == plant or not arrived or row.date >= arrived[0])


def _climate(folder: Path, place: str, hints: ClimateHints, date: dt.date, date_order: str | None) -> Climate | None:
    path = folder / "climate" / f"{place}.csv"
    if not path.exists():
        return None
    from diagnose.intake.records.climate import read_climate  # loads polars, which only climate exports need

    return read_climate(path, str(path), date=date, hints=hints, stated_order=date_order or "")


def _records(
    bench: Bench, plant: Plant, date: dt.date, rows: tuple[CareRow, ...], where: tuple[Stay, ...],
    climates: Mapping[str, Climate | None], care_notes: tuple[str, ...],
) -> Records:
    notes = [*bench.notes, *care_notes]
    present = where[-1].place
    if not rows and not care_notes:
        notes.append(f"care.csv holds no row of {plant.plant} up to {date}")
    for place in dict.fromkeys(stay.place for stay in where):
        climate = climates.get(place)
        notes += climate.notes if climate else [f"there is no climate/{place}.csv"] if place else []
    vague = vague_moves(rows, bench.places)
    if vague and present:
        notes.append(f"{in_lines(row.line for row in vague)} of care.csv: the move names no place of bench.yaml; "
                     f"the climate of {present} was used before and after")
    unscaled = [row.line for row in rows if any(dose.unit == "ppm" for dose in row.doses)
                and conductivity_ms_cm(row.doses, row.detail) is None]
    if unscaled:
        notes.append(f"{in_lines(unscaled)} of care.csv: ppm of a meter, whose scale (500, 640 or 700) is not named; "
                     "not used")
    climate = _joined(where, climates)
    if climate and climate.last_day < day_number(date) - 1:
        ago = day_number(date) - climate.last_day
        notes.append(f"the climate log of {present or plant.place} ends {ago} days before {date}")
    return Records(date, plant, bench.places.get(present), rows, climate, tuple(dict.fromkeys(notes)))


def _joined(where: tuple[Stay, ...], climates: Mapping[str, Climate | None]) -> Climate | None:
    """The readings of each place for the days the plant stood there."""
    if len(where) == 1:
        climate = climates.get(where[0].place)
        return climate if climate and not climate.rows.is_empty() else None
    from diagnose.intake.records.climate import joined  # loads polars, which only climate exports need

    ends = [*(stay.first for stay in where[1:]), None]
    return joined([(climate, stay.first, end) for stay, end in zip(where, ends, strict=True)
                   if (climate := climates.get(stay.place))])
