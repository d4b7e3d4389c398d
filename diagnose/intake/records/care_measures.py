"""Measures of the care log over a window of days: pure functions, one for each measure id.

Where a log is partial, what it does not hold may have been done; measures that rest on that are then unknown.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from itertools import pairwise
from statistics import fmean as mean
from typing import Final

from diagnose.frozen import frozen
from diagnose.intake.records.care import CareRow
from diagnose.intake.records.doses import water_temperature_c
from diagnose.intake.records.feed_label import conductivity_ms_cm, elements_ppm
from diagnose.intake.records.physics import GRAMS_PER_TEASPOON
from diagnose.intake.records.terms import WETTING
from diagnose.intake.records.window import Reading, Window, day_number

__all__ = ["CARE_MEASURES", "CareHistory", "CareMeasure"]

DAYS_A_MONTH: Final = 365.25 / 12


@frozen
class CareHistory:
    """What is known of the care of one plant: its rows oldest first, since when, and when it was last potted.

    ``known_from`` is the day number of the first row, None without any; ``potted`` that of the bench entry.
    """

    rows: tuple[CareRow, ...]
    known_from: int | None
    partial: bool = False
    potted: int | None = None

    def days_of(self, actions: frozenset[str], until: int) -> list[int]:
        """Day numbers up to ``until`` on which one of the actions was done, each once."""
        return sorted({day_number(row.date) for row in self.rows if row.action in actions
                       and day_number(row.date) <= until})

    def known_part(self, window: Window) -> Window | None:
        """The days of a window for which what is not logged was not done."""
        if self.partial or self.known_from is None or self.known_from > window.last:
            return None
        return Window(max(window.first, self.known_from), window.last)


@frozen
class CareMeasure:
    """A measure with its unit and function."""

    unit: str
    find: Callable[[CareHistory, Window], Reading | None]


_PLAIN = WETTING - {"feed"}
_FEED, _FLUSH, _REPOT = frozenset({"feed"}), frozenset({"flush", "repot"}), frozenset({"repot"})


def _days_since(actions: frozenset[str]) -> Callable[[CareHistory, Window], Reading | None]:
    def find(history: CareHistory, window: Window) -> Reading | None:
        days = history.days_of(actions, window.last)
        if actions is _FLUSH and history.potted is not None and history.potted <= window.last:
            days.append(history.potted)
        return Reading(float(window.last - max(days))) if days and history.known_part(window) else None
    return find


def _wettings(history: CareHistory, known: Window) -> list[int]:
    return [day for day in history.days_of(WETTING, known.last) if day >= known.first]


def _gap_longest(history: CareHistory, window: Window) -> Reading | None:
    """Longest run of days of the window without wetting; one still open, or open at its start, as far as it ran."""
    known = history.known_part(window)
    if known is None:
        return None
    days = [known.first - 1, *_wettings(history, known), known.last]
    longest = max(later - earlier for earlier, later in pairwise(days))
    return Reading(float(longest), known.length / window.length)


def _gap_mean(history: CareHistory, window: Window) -> Reading | None:
    known = history.known_part(window)
    days = _wettings(history, known) if known else []
    if known is None or len(days) < 2:
        return None
    return Reading((days[-1] - days[0]) / (len(days) - 1), known.length / window.length)


def _waterings(history: CareHistory, window: Window) -> Reading | None:
    known = history.known_part(window)
    return Reading(len(_wettings(history, known)) / known.length * 7, known.length / window.length) if known else None


def _feeds(history: CareHistory, first: int, last: int) -> list[CareRow]:
    return [row for row in history.rows if row.action == "feed" and first <= day_number(row.date) <= last]


def _feeds_a_month(history: CareHistory, window: Window) -> Reading | None:
    known = history.known_part(window)
    if known is None:
        return None
    return Reading(len(_feeds(history, known.first, known.last)) / known.length * 30, known.length / window.length)


def _strengths(rows: list[CareRow], element: str = "N") -> list[float]:
    found = (elements_ppm(row.doses, row.detail).get(element) for row in rows)
    return [ppm for ppm in found if ppm is not None]


def _strength(of: Callable[[list[float]], float], element: str = "N"
              ) -> Callable[[CareHistory, Window], Reading | None]:
    def find(history: CareHistory, window: Window) -> Reading | None:
        rows = _feeds(history, window.first, window.last)
        known = _strengths(rows, element)
        guesses = [f"from {len(known)} of {len(rows)} feeds, the others being of unknown strength"
                   ] if len(known) < len(rows) else []
        if any(dose.rough for row in rows for dose in row.doses):
            guesses.append(f"a level teaspoon of feed was taken as {GRAMS_PER_TEASPOON:g} g")
        return Reading(of(known), 1.0, "; ".join(guesses)) if known else None
    return find


def _conductivity(actions: frozenset[str], of: Callable[[list[float]], float]
                  ) -> Callable[[CareHistory, Window], Reading | None]:
    def find(history: CareHistory, window: Window) -> Reading | None:
        rows = [row for row in history.rows if row.action in actions
                and window.first <= day_number(row.date) <= window.last]
        told = (conductivity_ms_cm(row.doses, row.detail) for row in rows)
        known = [ms_cm for ms_cm in told if ms_cm is not None]
        return Reading(of(known)) if known else None
    return find


def _since_flush(history: CareHistory, window: Window) -> list[CareRow] | None:
    """Feeds since the last flush or potting, or since the log begins; None where that cannot be known."""
    if history.known_part(window) is None:
        return None
    rows = [row for row in history.rows if day_number(row.date) <= window.last]
    last = max((at for at, row in enumerate(rows) if row.action in _FLUSH), default=-1)
    after = history.potted if history.potted is not None and history.potted <= window.last else -1
    return [row for row in rows[last + 1:] if row.action == "feed" and day_number(row.date) >= after]


def _feeds_since_flush(history: CareHistory, window: Window) -> Reading | None:
    rows = _since_flush(history, window)
    return None if rows is None else Reading(float(len(rows)))


def _salt_load(history: CareHistory, window: Window) -> Reading | None:
    rows = _since_flush(history, window)
    known = _strengths(rows or [])
    if rows is None or (rows and not known):
        return None
    guess = f"{len(rows) - len(known)} feeds of unknown strength are not counted" if len(known) < len(rows) else ""
    return Reading(float(sum(known)), 1.0, guess)


def _months_since_potting(history: CareHistory, window: Window) -> Reading | None:
    days = [*history.days_of(_REPOT, window.last), *([history.potted] if history.potted is not None else [])]
    before = [day for day in days if day <= window.last]
    return Reading((window.last - max(before)) / DAYS_A_MONTH) if before else None


def _water_temperature(history: CareHistory, window: Window) -> Reading | None:
    rows = [row for row in history.rows if window.first <= day_number(row.date) <= window.last]
    told = (water_temperature_c(row.doses) for row in rows if row.action in WETTING)
    found = [warmth for warmth in told if warmth is not None]
    return Reading(sum(found) / len(found)) if found else None


CARE_MEASURES: Final[Mapping[str, CareMeasure]] = {
    "days_since_water": CareMeasure("days", _days_since(WETTING)),
    "water_gap_longest": CareMeasure("days", _gap_longest),
    "water_gap_mean": CareMeasure("days", _gap_mean),
    "waterings_per_week": CareMeasure("1/week", _waterings),
    "feed_strength_mean": CareMeasure("ppm N", _strength(mean)),
    "feed_strength_highest": CareMeasure("ppm N", _strength(max)),
    "feed_calcium_mean": CareMeasure("ppm", _strength(mean, "Ca")),
    "feed_magnesium_mean": CareMeasure("ppm", _strength(mean, "Mg")),
    "feed_potassium_mean": CareMeasure("ppm", _strength(mean, "K")),
    "feed_conductivity_highest": CareMeasure("mS/cm", _conductivity(_FEED, max)),
    "water_conductivity_mean": CareMeasure("mS/cm", _conductivity(_PLAIN, mean)),
    "feeds_per_month": CareMeasure("1/month", _feeds_a_month),
    "days_since_flush": CareMeasure("days", _days_since(_FLUSH)),
    "days_since_feed": CareMeasure("days", _days_since(_FEED)),
    "feeds_since_flush": CareMeasure("count", _feeds_since_flush),
    "salt_load_since_flush": CareMeasure("ppm N x feeds", _salt_load),
    "months_since_potting": CareMeasure("months", _months_since_potting),
    "water_temperature": CareMeasure("C", _water_temperature),
}
