"""The frame of a picture: round values, named months, and nothing outside its edges."""

from __future__ import annotations

import datetime as dt

import pytest

from diagnose.model.history import DayRange
from diagnose.screen.html.frame import LEFT, NARROW, TOP, WIDE, Frame, Size, ticks
from diagnose.screen.html.runs import runs

FIRST, LAST = dt.date(2025, 9, 1), dt.date(2026, 2, 28)


@pytest.mark.parametrize(("low", "high", "expected"), [
    (12.0, 31.0, [15, 20, 25, 30]),
    (0.0, 1.0, [0, 0.2, 0.4, 0.6, 0.8, 1]),
    (0.4, 1.9, [0.5, 1, 1.5]),
    (0.0, 105.0, [0, 25, 50, 75, 100]),
    (-7.0, 4.0, [-5, -2.5, 0, 2.5]),
])
def test_ticks_are_round(low: float, high: float, expected: list[float]) -> None:
    """Values along the edge are round and lie within the picture."""
    assert ticks(low, high) == expected


def test_values_and_days_stay_within() -> None:
    """Whatever lies outside is drawn on the edge."""
    frame = Frame(WIDE, FIRST, LAST, 10.0, 20.0)
    assert frame.y(25.0) == TOP
    assert frame.y(5.0) == frame.floor
    assert frame.x(FIRST - dt.timedelta(40)) == LEFT
    assert frame.x(LAST + dt.timedelta(40)) == frame.right
    assert frame.x(LAST, 1.0) == frame.right


@pytest.mark.parametrize("size", [WIDE, NARROW])
def test_months_are_named_and_years_once(size: Size) -> None:
    """Half a year names its months; the year stands with the first and with each January."""
    text = "".join(part.text for part in Frame(size, FIRST, LAST).days_across())
    for name in ("Sep 2025", "Oct", "Nov", "Dec", "Jan 2026", "Feb"):
        assert name in text
    assert text.count("2025") == 1


def test_short_times_name_days() -> None:
    """Three weeks name a day a week."""
    text = "".join(part.text for part in Frame(WIDE, dt.date(2026, 2, 1), dt.date(2026, 2, 21)).days_across())
    assert ">1 Feb<" in text
    assert ">8 Feb<" in text


def test_a_gap_cuts_a_line() -> None:
    """Days in a row stay together; a day that is missing parts them."""
    days = [DayRange(FIRST + dt.timedelta(number), 1, 2, 3) for number in (0, 1, 2, 5, 6, 9)]
    assert [len(run) for run in runs(days)] == [3, 2, 1]
