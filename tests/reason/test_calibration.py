"""What the club learns from outcomes: how right it was, and its own frequencies beside the book's."""

from __future__ import annotations

import datetime as dt

import pytest

from diagnose.model.cases import CaseFile, Deed, DeskCase, Glance, Outcome, Share
from diagnose.reason.calibration import club_priors, counts_of, report
from diagnose.reason.chances import wilson

DAY = dt.date(2026, 4, 1)
BOOK = {"a": 0.1, "b": 0.2, "c": 0.05}


def case(cause: str, said: dict[str, float], *, told: dict[str, float] | None = None, result: str = "better"
         ) -> DeskCase:
    """A case with an outcome; ``told`` is what its answer said, where that was written down."""
    shares = tuple(Share(name, chance, "likely", "soon", False) for name, chance in said.items())
    history = (Deed("answer", "V-1", DAY, said=tuple(told.items())),) if told else ()
    file = CaseFile(f"{cause}.yaml", cause, DAY, outcome=Outcome(cause, result, DAY), history=history)
    return DeskCase(file, Glance(shares, (), (), "decided", 0.0, "unknown"))


def test_bands_count_how_often_it_was_so() -> None:
    """Ten times said 0.75, so eight times: the band, its share and its interval say just that."""
    cases = [case("a" if number < 8 else "b", {"a": 0.75}) for number in range(10)]
    found = report(cases, BOOK, 100)
    (band,) = found.bands
    assert (band.from_, band.to, band.count, band.so) == (0.7, 0.8, 10, 8)
    assert band.said == pytest.approx(0.75)
    assert band.interval == wilson(8, 10)
    assert found.calibration_error == pytest.approx(0.05)
    assert (found.first_right, found.named, found.judged) == (8, 8, 10)


def test_the_answer_counts_and_not_second_thoughts() -> None:
    """Where the answer's figures were written down they are judged, whatever the letter would say today."""
    found = report([case("a", {"a": 0.9}, told={"b": 0.6, "a": 0.3})], BOOK, 100)
    assert found.first_right == 0
    assert found.named == 1


def test_a_band_is_closed_on_the_right() -> None:
    """A forecast on an edge belongs to the band below it."""
    found = report([case("a", {"a": 0.8, "b": 0.0})], BOOK, 100)
    assert [(band.from_, band.to) for band in found.bands] == [(0.0, 0.1), (0.7, 0.8)]


def test_causes_are_counted_with_their_results() -> None:
    """How often each cause, how the plants did, and a cause the rule base does not know."""
    found = report([case("a", {"a": 0.9}), case("a", {}, result="lost"), case("zzz", {"a": 0.2})], BOOK, 100)
    assert [(row.cause, row.count, row.of, row.results) for row in found.causes] == [("a", 2, 3, (1, 0, 0, 1))]
    assert found.unknown_causes == ("zzz",)


def test_without_outcomes_there_is_nothing_to_say() -> None:
    """An empty club gives an empty report."""
    found = report([], BOOK, 100)
    assert (found.cases, found.bands, found.brier, found.causes) == (0, (), None, ())


def test_book_and_club_together() -> None:
    """The book counts for 100 cases: 0.1 with 10 of 20 becomes 20/120; a cause never seen becomes rarer, not nil."""
    both = club_priors(BOOK, {"a": 10, "b": 10}, 100)
    assert both["a"] == pytest.approx((0.1 * 100 + 10) / 120)
    assert 0 < both["c"] < BOOK["c"]


def test_outcomes_after_a_day_do_not_count() -> None:
    """Counts are as of a day."""
    assert counts_of([case("a", {})], DAY) == {"a": 1}
    assert counts_of([case("a", {})], DAY - dt.timedelta(days=1)) == {}
