"""The bench ``bench.yaml``: places, plants, and what the climate exports do not say of themselves."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping
from dataclasses import field
from pathlib import Path

from diagnose.frozen import frozen
from diagnose.intake.records import terms
from diagnose.intake.records.entry import Entry
from diagnose.intake.records.physics import LUX_PER_UMOL
from diagnose.marked_yaml import Pairs, read_marked
from diagnose.model.terms import PlantTerms
from diagnose.problems import InputError, Problem, Where, nearest

__all__ = ["Bench", "ClimateHints", "Place", "Plant", "read_bench"]

# A place names a file: a plain name, nothing that could lead out of the folder or is a device on some systems.
_PLACE_NAME = re.compile(r"(?!\.)[^/\\:*?\"<>|\x00-\x1f]{1,100}(?<![. ])")
_BENCH = Where("bench.yaml")


@frozen
class Place:
    """Where plants stand. ``kind`` is indoors, outdoors or greenhouse; empty text and None mean unknown."""

    place: str
    hemisphere: str = ""
    latitude_deg: float | None = None
    kind: str = ""


@frozen
class Plant:
    """One plant of the bench; ``where`` is its place in the file. Empty text and None mean unknown.

    ``partial_log``: what the care log does not hold may have been done all the same.
    """

    plant: str
    where: Where
    group: str = ""
    place: str = ""
    medium: str = ""
    pot_ml: float | None = None
    reservoir_ml: float | None = None
    potted_on: dt.date | None = None
    size: str = ""
    stage: str = ""
    partial_log: bool = False


@frozen
class ClimateHints:
    """What a climate export of a place leaves open, as stated in bench.yaml at ``where``; empty text: not stated."""

    where: Where = _BENCH
    date_order: str = ""
    temperature_unit: str = ""
    time_zone: str = ""
    light_unit: str = ""
    light_source: str = ""


@frozen
class Bench:
    """All places, plants and climate hints of a records folder; ``file`` is how messages name it."""

    file: str
    places: Mapping[str, Place] = field(default_factory=dict)
    plants: Mapping[str, Plant] = field(default_factory=dict)
    hints: Mapping[str, ClimateHints] = field(default_factory=dict)
    notes: tuple[str, ...] = ()


def read_bench(path: Path, shown: str | None = None, words: PlantTerms | None = None) -> Bench:
    """Read a bench file. Raises InputError with every problem found; unknown keys are noted, not refused.

    ``words`` are those that plants may be described with; without them any are taken.
    """
    name = shown or str(path)
    root = read_marked(path, name)
    if not isinstance(root, Pairs):
        hint = 'Expected the keys "places:" and "plants:".'
        raise InputError.one(Where(name), "bench-empty", "This file holds no bench.", hint)
    problems: list[Problem] = []
    notes: list[str] = []
    top = Entry(root, problems, notes)
    places = {key: _place(key, entry) for key, entry in top.entries("places")}
    plants = {key: _plant(key, entry, places, words) for key, entry in top.entries("plants")}
    hints = {key: _hints(key, entry, places) for key, entry in top.entries("climate")}
    top.done("bench.yaml")
    if problems:
        raise InputError(problems)
    return Bench(name, places, plants, hints, tuple(notes))


def _place(key: str, entry: Entry) -> Place:
    if not _PLACE_NAME.fullmatch(key):
        entry.wrong(entry.where, "place-name", f'"{key}" cannot name a place, for it names a file in climate/.',
                    "Use letters, digits, blanks, dots and dashes.")
    latitude = entry.number("latitude", -90, 90)
    hemisphere = entry.choice("hemisphere", terms.HEMISPHERES)
    by_latitude = "" if not latitude else "north" if latitude > 0 else "south"
    if hemisphere and by_latitude and hemisphere != by_latitude:
        words = f"The latitude {latitude:g} lies {by_latitude}, not {hemisphere}."
        entry.wrong(entry.place("hemisphere"), "hemisphere", words, "Southern latitudes are negative.")
    indoors, greenhouse = entry.yes_no("indoors"), entry.yes_no("greenhouse")
    kind = "greenhouse" if greenhouse else "" if indoors is None else "indoors" if indoors else "outdoors"
    entry.done(f"the place {key}")
    return Place(key, hemisphere or by_latitude, latitude, kind)


def _plant(key: str, entry: Entry, places: Mapping[str, Place], words: PlantTerms | None) -> Plant:
    container = entry.inner("container")
    found = Plant(
        plant=key,
        where=entry.place("group"),
        group=entry.text("group"),
        place=entry.choice("place", places, "no-such-place"),
        medium=entry.choice("medium", words.media) if words else entry.text("medium"),
        pot_ml=container.number("pot_ml", 1, 1_000_000) if container else None,
        reservoir_ml=container.number("reservoir_ml", 0, 1_000_000) if container else None,
        potted_on=entry.date("potted_on"),
        size=entry.choice("size", words.sizes) if words else entry.text("size"),
        stage=entry.choice("stage", words.stages) if words else entry.text("stage"),
        partial_log=entry.choice("log", ("complete", "partial")) == "partial",
    )
    if container:
        container.done(f"the container of {key}")
    entry.done(f"the plant {key}")
    return found


def _hints(key: str, entry: Entry, places: Mapping[str, Place]) -> ClimateHints:
    if key not in places:
        entry.wrong(entry.where, "no-such-place", f'"{key}" is not one of the places.', nearest(key, places))
    found = ClimateHints(
        entry.place("time_zone"),
        date_order=entry.choice("date_order", terms.DATE_ORDERS),
        temperature_unit=entry.choice("temperature_unit", terms.TEMPERATURE_UNITS),
        time_zone=entry.text("time_zone"),
        light_unit=entry.choice("light_unit", terms.LIGHT_UNITS),
        light_source=entry.choice("light_source", LUX_PER_UMOL),
    )
    entry.done(f"the climate of {key}")
    return found
