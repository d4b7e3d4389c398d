"""Measures that the rules ask for, over their windows, from the records of one plant."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from diagnose.frozen import frozen
from diagnose.intake.records.care_measures import CARE_MEASURES
from diagnose.intake.records.events import events_of
from diagnose.intake.records.folder import Records
from diagnose.intake.records.window import Reading, Window, day_number
from diagnose.model.daylight import day_length_h
from diagnose.model.facts import Event, Measure, MeasureRequest, Origin
from diagnose.model.water import GroupWater

if TYPE_CHECKING:
    from diagnose.intake.records.days import DayTable

__all__ = ["LEAST_COVERAGE", "SUMMARY", "measure_case", "stage_period", "summary_measures"]

LEAST_COVERAGE: Final = 0.5  # share of a window that must be known for a measure to be given at all
FULL_COVERAGE: Final = 0.9  # below this the measure says on how much it rests
UNDATED_STAGE_DAYS: Final = 60  # taken for a stage whose beginning is not logged
PHOTOPERIOD: Final = "photoperiod"
MOST_LIGHT_MOL: Final = {"indoors": 30.0}  # a windowsill at the most; above, a unit is wrong
MOST_SUN_MOL: Final = 65.0  # the open sky at the most (greenhouse light sheet of a university extension)
SUMMARY: Final = tuple(
    MeasureRequest(measure, days) for days in (7, 30) for measure in (
        "relative_humidity_mean", "temperature_night_low", "temperature_day_high", "vapour_pressure_deficit_mean"))


@frozen
class _Asked:
    """A request with its window, or with None where there is no such window."""

    request: MeasureRequest
    window: Window | None


_Found = tuple[_Asked, str, Origin, Reading]  # what was asked, unit, where from, what was found


def measure_case(
    records: Records, requests: Iterable[MeasureRequest], needs: Mapping[str, float],
    onset_days_ago: int | None = None, water: GroupWater | None = None,
) -> tuple[tuple[Measure, ...], tuple[Event, ...], tuple[str, ...]]:
    """The measures asked for as far as the records give them, the events of the care log, and notes.

    Windows end on the day of the onset where it is told, else on the date. ``needs`` are those of the plant's group
    (night_low_c, day_high_c, bloom_cue_night_c ...), ``water`` the rules for its pot; without them no water balance is
    reckoned. A measure carries the window of its request and how long ago it ended. What is known for less than half
    of its window is left out and noted.
    """
    end = day_number(records.date) - (onset_days_ago or 0)
    asked = [_Asked(request, _window(records, request, end)) for request in dict.fromkeys(requests)]
    measures, notes = _find(records, asked, needs, water)
    measures = tuple(replace(each, ended_days_ago=each.ended_days_ago + (onset_days_ago or 0)) for each in measures)
    return measures, events_of(records), (*records.notes, *_stage_notes(records, asked), *notes)


def summary_measures(records: Records) -> tuple[tuple[Measure, ...], tuple[str, ...]]:
    """Humidity, night low, day high and vapour pressure deficit over the 7 and 30 days up to the date, with notes.

    What is known for less than half of its window is left out and noted.
    """
    asked = [_Asked(request, _window(records, request, day_number(records.date))) for request in SUMMARY]
    measures, notes = _find(records, asked, {})
    return measures, tuple(notes)


def _window(records: Records, request: MeasureRequest, end: int) -> Window | None:
    last = end - request.ended_days_ago
    if request.during:
        period = stage_period(records, request.during, last)
        return period[0] if period else None
    return Window(last - max(request.window_days, 1) + 1, last)


def stage_period(records: Records, stage: str, last: int) -> tuple[Window, bool] | None:
    """The last period of a stage up to a day, and whether its beginning is logged.

    A stage of the bench entry lasts up to the first stage row; as its beginning is unknown, 60 days are taken.
    """
    rows = [(day_number(row.date), row.detail) for row in records.care if row.action == "stage"]
    starts = [(day, name) for day, name in rows if day <= last]
    for at in reversed(range(len(starts))):
        day, name = starts[at]
        if name == stage:
            while at and starts[at - 1][1] == stage:
                at -= 1
            return Window(starts[at][0], max(_end_of(starts, at, stage, last), day)), True
    if records.plant.stage != stage:
        return None
    end = starts[0][0] - 1 if starts else last
    return Window(end - UNDATED_STAGE_DAYS + 1, end), False


def _end_of(starts: list[tuple[int, str]], at: int, stage: str, last: int) -> int:
    return next((day - 1 for day, name in starts[at:] if name != stage), last)


def _stage_notes(records: Records, asked: Iterable[_Asked]) -> list[str]:
    end = day_number(records.date)
    undated = []
    for stage in dict.fromkeys(each.request.during for each in asked if each.request.during):
        period = stage_period(records, stage, end)
        undated += [stage] if period and not period[1] else []
    return [f"the beginning of the stage {stage} is not logged; its last {UNDATED_STAGE_DAYS} days were taken"
            for stage in undated]


def _find(
    records: Records, asked: list[_Asked], needs: Mapping[str, float], water: GroupWater | None = None
) -> tuple[tuple[Measure, ...], list[str]]:
    climate = _climate_readings(records, asked, needs)  # before the water, which finds its days among the same
    found, water_notes = _water_readings(records, asked, needs, water)
    for each in asked:
        care = CARE_MEASURES.get(each.request.measure)
        if care and each.window:
            reading = care.find(records.history, each.window)
            found += [(each, care.unit, Origin.CARE_LOG, reading)] if reading else []
        elif each.request.measure == PHOTOPERIOD and each.window and records.place:
            latitude = records.place.latitude_deg
            if latitude is not None:
                hours = Reading(day_length_h(latitude, each.window.middle))
                found.append((each, "h", Origin.PLANT, hours))
    found, notes = _plausible(records, [*found, *climate])
    measures = tuple(_measure(*each) for each in found if each[3].coverage >= LEAST_COVERAGE)
    thin = [each for each in found if each[3].coverage < LEAST_COVERAGE]
    return measures, [*water_notes, *notes, *_thin_notes(thin)]


def _water_readings(
    records: Records, asked: list[_Asked], needs: Mapping[str, float], water: GroupWater | None
) -> tuple[list[_Found], list[str]]:
    if water is None or "water_gap_days" not in needs:
        return [], []
    from diagnose.intake.records.water_balance import WATER_MEASURES, water_balance  # loads numpy, which this needs

    wanted = [(each, WATER_MEASURES[each.request.measure], each.window) for each in asked
              if each.window and each.request.measure in WATER_MEASURES]
    balance = water_balance(records, water, needs["water_gap_days"]) if wanted else None
    if balance is None:
        return [], []
    readings = [(each, kind.unit, kind.find(balance, window)) for each, kind, window in wanted]
    return [(each, unit, Origin.CARE_LOG, found) for each, unit, found in readings if found], list(balance.notes)


def _plausible(records: Records, found: list[_Found]) -> tuple[list[_Found], list[str]]:
    """Without sums of light that no sky gives."""
    most = MOST_LIGHT_MOL.get(records.place.kind if records.place else "", MOST_SUN_MOL)
    kept = [each for each in found if each[0].request.measure != "daily_light_integral" or each[3].value <= most]
    note = f"the light adds up to more than {most:g} mol/m2 a day: is its unit right? No light sum is given"
    return kept, [note] if len(kept) < len(found) else []


def _climate_readings(
    records: Records, asked: list[_Asked], needs: Mapping[str, float]
) -> list[_Found]:
    if records.climate is None:
        return []
    # both load polars, which only climate exports need
    from diagnose.intake.records.climate_measures import CLIMATE_MEASURES
    from diagnose.intake.records.days import day_table

    wanted = [(each, CLIMATE_MEASURES[each.request.measure], each.window) for each in asked
              if each.window and each.request.measure in CLIMATE_MEASURES]
    wanted = [each for each in wanted if not each[1].need or each[1].need in needs]
    if not wanted:
        return []
    first = min(window.first for _, _, window in wanted)
    whole = Window(first, max(day_number(records.date), *(window.last for _, _, window in wanted)))
    table: DayTable = day_table(records.climate, whole, {kind.quantity for _, kind, _ in wanted}, needs)
    readings = [(each, kind, kind.find(table[kind.quantity], window, needs.get(kind.need, 0)))
                for each, kind, window in wanted]
    return [(each, kind.unit, Origin.CLIMATE_LOG, reading) for each, kind, reading in readings if reading]


def _measure(asked: _Asked, unit: str, origin: Origin, reading: Reading) -> Measure:
    request = asked.request
    share = f"from {reading.coverage:.0%} of the window" if reading.coverage < FULL_COVERAGE else ""
    guess = "; ".join(part for part in (reading.guess, share) if part)
    return Measure(
        request.measure, reading.value, unit, origin, request.window_days, request.ended_days_ago, request.during,
        certainty=reading.certainty, guess=guess)


def _thin_notes(thin: list[_Found]) -> list[str]:
    """One note for each window and log of which too little is known."""
    shares: dict[tuple[Origin, MeasureRequest], float] = {}
    for each, _, origin, reading in thin:
        window = MeasureRequest("", each.request.window_days, each.request.ended_days_ago, each.request.during)
        shares[origin, window] = max(reading.coverage, shares.get((origin, window), 0))
    return [f"the {origin} covers only {share:.0%} of {_in_words(window)}: no measures are given for it"
            for (origin, window), share in shares.items()]


def _in_words(request: MeasureRequest) -> str:
    if request.during:
        return f"the stage {request.during}"
    shift = f" up to {request.ended_days_ago} days earlier" if request.ended_days_ago else ""
    return f"the {request.window_days} days{shift}"
