"""Brings what was gathered from a letter into a case: one state a sign, one value a fact of the plant."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence

from diagnose.intake.letters.clean import CleanText
from diagnose.intake.letters.context import context_of
from diagnose.intake.letters.happenings import events_of, habits_by
from diagnose.intake.letters.health import HealthTable, denied_signs
from diagnose.intake.letters.phrases import Kind
from diagnose.intake.letters.plants import PlantKey
from diagnose.intake.letters.sentences import Gathered, Said, SaidMeasure
from diagnose.intake.letters.yielding import without_yielding
from diagnose.model.amounts import ToldBy
from diagnose.model.daylight import day_length_h
from diagnose.model.facts import Case, Habit, Measure, Origin, OtherPlant, PlantContext, SeenSign, State
from diagnose.model.seasons import season_of
from diagnose.model.speech import SpeechData

__all__ = ["quote_of", "summed_up"]

_LONGEST_QUOTE = 160
_MOST_QUOTES = 25
_LONGEST_ONSET_DAYS = 400
_SEASON_DAYS, _YEAR_DAYS = 60, 365
MIDDLE_LATITUDE_DEG = 42  # where most growers who write live; only the length of the day is guessed from it
_STRENGTH = {State.PRESENT: 3, State.ABSENT: 2, State.UNSURE: 1}


def quote_of(clean: CleanText, start: int, end: int) -> str:
    """The words of a stretch, blanks folded, cut to a readable length."""
    text = " ".join(clean.text[start:end].split())
    return text if len(text) <= _LONGEST_QUOTE else text[: _LONGEST_QUOTE - 1].rstrip() + "…"


def summed_up(found: Gathered, clean: CleanText, speech: SpeechData, health: HealthTable, date: dt.date,
              given: PlantContext, yields: Mapping[str, frozenset[str]]) -> Case:
    """The case that a letter tells. ``yields`` has the signs that each sign yields to."""
    main = _main_plant(found)
    own = without_yielding([one for one in found.said if _is_own(one.plant, main, found.main)], yields)
    plant, notes = context_of(own, main.group, speech, given)
    signs = _signs(own, clean, health, speech.certainties.one_run)
    notes = (*notes, *_season_notes(found, date))
    left = [quote_of(clean, start, end) for start, end in found.not_understood]
    if len(left) > _MOST_QUOTES:
        notes = (*notes, f"{len(left) - _MOST_QUOTES} more passages were not understood.")
    season, daylight = _season(found, date, plant.hemisphere)
    measures = _measures(found, clean, main, speech.certainties.measure)
    events = events_of(own, clean, speech)
    habits = (*_habits(own, clean), *_told_by(_own_measures(found, main), clean, speech), *habits_by(events, speech))
    return Case(date=date, plant=plant, signs=signs, measures=(*measures, *daylight),
                events=events, habits=_surest(habits),
                other_plants=_other_plants(found, clean, main), not_understood=tuple(left[:_MOST_QUOTES]),
                onset_days_ago=_onset(own), season=season, notes=notes)


def _season_notes(found: Gathered, date: dt.date) -> list[str]:
    """A note where the letter says that it was written in another season than the date."""
    apart = [span.days for span in found.written if _SEASON_DAYS < span.days < _YEAR_DAYS - _SEASON_DAYS]
    then = [date - dt.timedelta(days=days) for days in apart]
    return [f"The letter seems to be of {day:%B}; it is judged as of {date.isoformat()}." for day in then[:1]]


def _season(found: Gathered, date: dt.date, hemisphere: str) -> tuple[str, tuple[Measure, ...]]:
    """The season in which the letter says it was written, and the daylight of that time at a middle latitude."""
    if not found.written:
        return "", ()
    written = date - dt.timedelta(days=found.written[0].days)
    latitude_deg = -MIDDLE_LATITUDE_DEG if hemisphere == "south" else MIDDLE_LATITUDE_DEG
    guess = f"the month told, at {MIDDLE_LATITUDE_DEG} degrees of latitude"
    hours = round(day_length_h(latitude_deg, written), 1)
    daylight = Measure("photoperiod", hours, "h", Origin.LETTER, certainty=0.5, guess=guess)
    return season_of(written, hemisphere or "north"), (daylight,)


def _main_plant(found: Gathered) -> PlantKey:
    """The plant asked about: the one with the most signs, the first named where several have as many."""
    counts = Counter(found.main if not one.plant.group and not one.plant.beside else one.plant for one in found.said
                     if one.kind is Kind.SIGN and one.state is State.PRESENT and not one.plant.stranger)
    asked = {key: count for key, count in counts.items() if not key.beside}
    asked = asked if asked or found.returned else counts
    most = max(asked.values(), default=0)
    if not most or asked.get(found.main) == most:
        return found.main
    return next(key for key in asked if asked[key] == most)


def _is_own(plant: PlantKey, main: PlantKey, first: PlantKey) -> bool:
    return plant == main or (plant == PlantKey() and (main == first or not first.group))


def _signs(own: Sequence[Said], clean: CleanText, health: HealthTable, one_run: float) -> tuple[SeenSign, ...]:
    best: dict[str, Said] = {}
    told = [one for one in own if one.kind is Kind.SIGN and one.state is not None]
    for one in (*_with_support(told, one_run), *denied_signs(own, health)):
        old = best.get(one.target)
        if old is None or _rank(one) > _rank(old):
            best[one.target] = one
    return tuple(_seen(one, clean) for one in sorted(best.values(), key=lambda one: (one.start, one.target)))


def _with_support(told: Sequence[Said], one_run: float) -> Iterator[Said]:
    """Each sign said, less certain where only one run of words tells it: two are hardly ever both misread."""
    runs: dict[str, set[frozenset[int]]] = {}
    for one in told:
        if one.state is State.PRESENT:
            runs.setdefault(one.target, set()).add(one.words)
    for one in told:
        alone = one.state is State.PRESENT and len(runs[one.target]) == 1
        yield one._replace(certainty=one.certainty * one_run) if alone else one


def _rank(one: Said) -> tuple[bool, int, float]:
    return one.settles, _STRENGTH[one.state] if one.state else 0, one.certainty


def _seen(one: Said, clean: CleanText) -> SeenSign:
    start, end = clean.original(one.start, one.end)
    return SeenSign(one.target, one.state or State.UNSURE, Origin.LETTER, quote_of(clean, one.start, one.end),
                    start, end, round(one.certainty, 3))


def _habits(own: Iterable[Said], clean: CleanText) -> Iterator[Habit]:
    for one in own:
        if one.kind is Kind.HABIT and one.state is not None:
            certainty = round(one.certainty * (0.5 if one.state is State.UNSURE else 1.0), 3)
            yield Habit(one.target, Origin.LETTER, one.state is not State.ABSENT, certainty,
                        quote_of(clean, one.start, one.end))


def _told_by(measures: Iterable[SaidMeasure], clean: CleanText, speech: SpeechData) -> Iterator[Habit]:
    """The circumstances that told numbers amount to: a night at 4 °C is cold."""
    told = tuple(measures)
    for one in told:
        for row in speech.quantities.told_by:
            if one.told.measure in row.measures and row.bound in ("", one.told.bound) and any(
                    row.least <= value <= row.most for value in _compared(one, row, told)):
                yield Habit(row.habit, Origin.LETTER, True, speech.certainties.measure,
                            quote_of(clean, one.start, one.end))


def _compared(one: SaidMeasure, row: ToldBy, told: Sequence[SaidMeasure]) -> list[float]:
    """What is set against the limits of a row: the value itself, or by how much it exceeds others."""
    if not row.over:
        return [one.told.value]
    return [one.told.value - other.told.value for other in told if other.told.measure in row.over]


def _surest(habits: Iterable[Habit]) -> tuple[Habit, ...]:
    best: dict[str, Habit] = {}
    for habit in habits:
        old = best.get(habit.habit)
        if old is None or (habit.holds, habit.certainty) > (old.holds, old.certainty):
            best[habit.habit] = habit
    return tuple(best.values())


def _measures(found: Gathered, clean: CleanText, main: PlantKey, certainty: float) -> tuple[Measure, ...]:
    told: dict[tuple[str, float], Measure] = {}
    for one in _own_measures(found, main):
        told.setdefault((one.told.measure, one.told.value), Measure(
            one.told.measure, one.told.value, one.told.unit, Origin.LETTER, certainty=certainty,
            quote=quote_of(clean, one.start, one.end), guess=one.told.guess))
    return tuple(told.values())


def _own_measures(found: Gathered, main: PlantKey) -> list[SaidMeasure]:
    """The measures of the plant asked about; those told before any plant is named are of the place, and count."""
    return [one for one in found.measures if one.plant == PlantKey() or _is_own(one.plant, main, found.main)]


def _other_plants(found: Gathered, clean: CleanText, main: PlantKey) -> tuple[OtherPlant, ...]:
    signs: dict[PlantKey, list[Said]] = {}
    for one in found.said:
        if one.kind is Kind.SIGN and one.state is State.PRESENT and not _is_own(one.plant, main, found.main):
            signs.setdefault(one.plant, []).append(one)
    return tuple(OtherPlant(key.group, tuple(dict.fromkeys(one.target for one in said)),
                            quote_of(clean, said[0].start, said[0].end)) for key, said in signs.items())


def _onset(own: Iterable[Said]) -> int | None:
    days = [one.onset for one in own if one.kind is Kind.SIGN and one.state is State.PRESENT
            and 0 <= one.onset <= _LONGEST_ONSET_DAYS]
    return max(days, default=None)
