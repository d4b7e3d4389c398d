"""What a letter says and what the records say, as the facts of one case."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Collection, Iterable, Mapping

from diagnose.intake.records.events import noted_words, plant_context, seen_signs
from diagnose.intake.records.folder import Records
from diagnose.intake.records.measure import measure_case, summary_measures
from diagnose.model.facts import Case, Habit, MeasureRequest, Origin, PlantContext, SeenSign
from diagnose.model.water import GroupWater
from diagnose.problems import InputError

__all__ = ["merged"]

_CONTEXT = ("group", "stage", "medium", "size", "place", "hemisphere")


def merged(case: Case, given: PlantContext, records: Records, *, requests: Iterable[MeasureRequest],
           needs: Callable[[str], Mapping[str, float]], water: Callable[[str], GroupWater | None],
           signs: Collection[str], read: Callable[[str], Case]) -> Case:
    """The case with its records: measures and events, what was noted as seen, and the plant as the bench knows it.

    What the form says of the plant (``given``) wins over the bench, the bench over the letter's words. ``needs``
    gives the needs of a group, ``water`` the rules for its pots,
    ``read`` reads plain words noted in the care log: signs from what was seen, habits from what was done. Raises
    InputError.
    """
    plant, contradictions = _plant(case.plant, given, plant_context(records))
    measures, events, notes = measure_case(records, requests, needs(plant.group), case.onset_days_ago,
                                           water(plant.group))
    summary, summary_notes = summary_measures(records)
    seen, words, problems = seen_signs(records, signs)
    if problems:
        raise InputError(problems)
    told = read("\n".join(words)).signs if words else ()
    noted = tuple(dataclasses.replace(sign, origin=Origin.CARE_LOG, start=0, end=0) for sign in told)
    return dataclasses.replace(
        case, plant=plant, signs=_signs(case.signs, (*seen, *noted)),
        habits=_habits(case.habits, noted_words(records), read),
        measures=tuple(dict.fromkeys((*measures, *summary, *case.measures))), events=(*events, *case.events),
        has_records=True, notes=tuple(dict.fromkeys((*case.notes, *contradictions, *notes, *summary_notes))))


def _signs(told: tuple[SeenSign, ...], logged: tuple[SeenSign, ...]) -> tuple[SeenSign, ...]:
    known = {sign.sign for sign in told}
    return (*told, *(sign for sign in logged if sign.sign not in known))


def _habits(told: tuple[Habit, ...], remarks: Iterable[str], read: Callable[[str], Case]) -> tuple[Habit, ...]:
    """Those told and those that remarks of the care log show; what the letter says of a habit counts."""
    known = {habit.habit for habit in told}
    noted = {habit.habit: dataclasses.replace(habit, origin=Origin.CARE_LOG)
             for remark in remarks for habit in read(remark).habits if habit.holds and habit.habit not in known}
    return (*told, *noted.values())


def _plant(told: PlantContext, given: PlantContext, bench: PlantContext) -> tuple[PlantContext, tuple[str, ...]]:
    """The plant by the surest source of each part, and where the letter says otherwise."""
    values: dict[str, str] = {}
    origins: dict[str, Origin] = {}
    notes: list[str] = []
    for part in _CONTEXT:
        form, logged, words = getattr(given, part), getattr(bench, part), getattr(told, part)
        values[part] = form or logged or words
        known_from = dict(bench.origins if logged else told.origins)
        origins[part] = Origin.PLANT if form else known_from.get(part, Origin.PLANT)
        if words and not form and logged and words != logged and words != "unknown":
            notes.append(f"the letter suggests {part} {words}, the records say {logged}: the records count")
    reservoir = bench.reservoir if bench.reservoir is not None else told.reservoir
    known = tuple((part, origins[part]) for part in _CONTEXT if values[part])
    return PlantContext(**values, reservoir=reservoir, origins=known), tuple(notes)
