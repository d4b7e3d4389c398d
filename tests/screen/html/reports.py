"""Reports to draw: that of the demo, and invented ones of any shape."""

from __future__ import annotations

import datetime as dt
import math
from functools import cache

from diagnose.intake.letter_files import read_letter
from diagnose.model.history import CareDeed, DamageWindow, DayRange, History, Quantity, Series, WaterDay, WaterHistory
from diagnose.model.knowledge import KnowledgeBase
from diagnose.model.report import Report
from diagnose.screen.html.letter_page import letter_page
from diagnose.workbench import CaseRequest, Workbench
from tests.screen.commands import ROOT

__all__ = ["LAST", "demo_page", "demo_report", "history", "opened", "own_base", "told",
           "window"]

DEMO = ROOT / "cases" / "demo"
LAST = dt.date(2026, 2, 14)
_LEVELS: tuple[tuple[Quantity, float, float, float], ...] = (
    ("temperature", 13.0, 18.0, 23.0), ("humidity", 30.0, 40.0, 55.0), ("deficit", 2.5, 3.0, 3.5),
    ("light", 2.0, 900.0, 12_000.0))


@cache
def opened() -> Workbench:
    """The project's own rule base, opened once."""
    return Workbench.open()


def own_base() -> KnowledgeBase:
    """The project's own rule base."""
    return opened().base


@cache
def demo_report() -> Report:
    """The demo with its records."""
    letter = read_letter(DEMO / "letter.txt")
    case = opened().opened(letter, CaseRequest(date=LAST, records=DEMO / "records", plant="P-21"))
    return opened().report(letter, case.case, case.records)


@cache
def demo_page() -> str:
    """The page of the demo."""
    return letter_page(own_base(), demo_report())


def told(letter: str) -> Report:
    """The report of a letter alone."""
    return opened().report(letter, opened().case(letter, CaseRequest(date=LAST)))


def history(days: int, *, missing: frozenset[int] = frozenset(), detail: str = "rain water") -> History:
    """An invented history of so many days with every picture; ``missing`` numbers are days without readings."""
    first = LAST - dt.timedelta(days - 1)
    known = [number for number in range(days) if number not in missing]
    wave = {number: 2 * math.sin(number / 9) for number in known}
    every = {number: first + dt.timedelta(number) for number in known}
    series = tuple(Series(quantity, tuple(DayRange(every[number], low + wave[number], middle + wave[number],
                                                   high + wave[number]) for number in known))
                   for quantity, low, middle, high in _LEVELS)
    care = tuple(CareDeed(first + dt.timedelta(number), "water", "120 ml", detail) for number in range(0, days, 7))
    water = tuple(WaterDay(every[number], 0.2, 0.5, 0.8, 0.4) for number in known)
    return History("P-1", first, LAST, series, care, WaterHistory(160.0, 250.0, 0.3, True, water))


def window(first_days_ago: int, last_days_ago: int, measure: str, cause: str, shown: str = "12 h/day") -> DamageWindow:
    """A window of a cause."""
    return DamageWindow(cause, LAST - dt.timedelta(first_days_ago), LAST - dt.timedelta(last_days_ago),
                        "Nights are cold", measure, shown)
