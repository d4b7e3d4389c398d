"""When things were, by the words of a letter. All dates as of 2026-03-02."""

from __future__ import annotations

import pytest

from diagnose.intake.letters.dating import Told, times_in
from tests.intake.letters.reading import DATE, lexicon, view


@pytest.mark.parametrize(("text", "told", "days"), [
    ("two weeks ago", Told.AGO, 14), ("some four weeks back", Told.AGO, 28), ("a day or so ago", Told.AGO, 1),
    ("three and a half years ago", Told.AGO, 1278), ("2-3 days ago", Told.AGO, 2), ("yesterday", Told.AGO, 1),
    ("last month", Told.AGO, 30), ("in january", Told.AGO, 46), ("on february 10", Told.AGO, 20),
    ("since september", Told.SINCE, 168), ("for three weeks", Told.STRETCH, 21), ("since two weeks", Told.SINCE, 14),
    ("last summer", Told.AGO, 229), ("since christmas", Told.SINCE, 67), ("it's january", Told.NOW, 46),
    ("five months i have it", Told.STRETCH, 150),
])
def test_time_is_found(text: str, told: Told, days: int) -> None:
    """A time is read with its days before the date."""
    spans = times_in(view(text), lexicon().times, DATE, south=False)
    assert [(span.told, span.days) for span in spans] == [(told, days)]


@pytest.mark.parametrize("text", ["every two weeks", "once a week", "it may rot", "they fall off", "5 leaves",
                                  "twice a day"])
def test_rates_and_look_alikes_are_no_times(text: str) -> None:
    """How often is not when; "may" and "fall" are words too."""
    assert times_in(view(text), lexicon().times, DATE, south=False) == []


@pytest.mark.parametrize("text", ["since february \u00b2", "since february \u2460", "since february 00319",
                                  f"since february {'9' * 5000}", "since february \u0be7\u0be6\u0be6\u0be6\u0be6"])
def test_a_month_with_an_odd_number_is_the_month(text: str) -> None:
    """Raised and circled digits, and numbers that are no day, leave the middle of the month: 15 February."""
    assert [span.days for span in times_in(view(text), lexicon().times, DATE, south=False)] == [15]


def test_seasons_turn_round_in_the_south() -> None:
    """On the southern half of the earth, 2 March is the end of summer."""
    (span,) = times_in(view("since summer"), lexicon().times, DATE, south=True)
    assert span.days == 46
