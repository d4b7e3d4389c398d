"""The reader as a whole: quotes, plants, notes, and what it must never do."""

from __future__ import annotations

import math
import pickle
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnose.model.facts import PlantContext
from tests.intake.letters.reading import DATE, read, reader


def test_quote_stands_in_the_letter() -> None:
    """Start and end point at the words quoted."""
    letter = "Hello. The roots are mushy, and the leaves are limp. Thanks!"
    case = read(letter)
    assert case.signs
    assert all(letter[sign.start : sign.end] == sign.quote for sign in case.signs)


def test_form_wins_over_the_letter() -> None:
    """What the form says is kept, and the contradiction is noted."""
    case = reader().read("My cattleya has limp leaves.", date=DATE, given=PlantContext(group="vanda"))
    assert case.plant.group == "vanda"
    assert any("cattleya_alliance" in note for note in case.notes)


def test_season_of_writing_is_noted() -> None:
    """A letter of another season than the date is not silently taken for one of the date."""
    assert any("November" in note for note in read("(Sent in early November.) The buds drop.").notes)


def test_what_is_not_understood_is_shown() -> None:
    """A clause of which nothing was understood is quoted."""
    case = read("The leaves are limp. My zither needs tuning badly.")
    assert case.not_understood == ("My zither needs tuning badly",)


def test_courtesy_needs_no_understanding() -> None:
    """Thanks and greetings are not reported as not understood."""
    assert read("Hello! The leaves are limp. Many thanks for any advice.").not_understood == ()


@pytest.mark.parametrize("text", ["", " ", "\n\n", "?", "...", "leaf", "\x00", "<", "&", "((((", "12", "🌱",
                                  "葉が黄色い"])
def test_odd_letters_are_read(text: str) -> None:
    """Next to nothing is no reason to fail."""
    assert read(text).date == DATE


NUMBERS = [
    "0", "00", "0.0", "0,0", "1e5", "9" * 400, f"0.{'0' * 60}1", "1.5.5", "\u00b2", "\u00bd", "\u0663", "-1", "31",
    "32", "1/2", "half", "a", "couple", "30s"]
AROUND = [
    "watered", "fed", "repotted", "every", "once a", "twice a", "per", "day", "days", "weeks", "months", "ago", "since",
    "for", "february", "last winter", "to", "or", "and a half", "degrees", "C", "F", "%", "ppm", "ph", "lux",
    "at night", "below", "low", "leaves limp", ",", ".", "humidity", "temperature", "hours", "other", "th"]


@settings(max_examples=300, deadline=None)
@given(st.lists(st.sampled_from([*NUMBERS, *AROUND, *NUMBERS]), max_size=14))
def test_any_number_is_read_or_passed_over(words: list[str]) -> None:
    """Whatever figures are told of times, rates and measures, the reader goes on; what it takes is finite."""
    case = read(f"The leaves are limp. I water {' '.join(words)}.")
    assert all(math.isfinite(measure.value) for measure in case.measures)
    assert case.onset_days_ago is None or 0 <= case.onset_days_ago <= 36_500


@pytest.mark.parametrize("rate", ["every 0 days", "every 0.0 weeks", f"every {'9' * 30} days", "every 00 or 0 days"])
def test_a_rate_that_nobody_keeps_tells_nothing(rate: str) -> None:
    """Every no days, and once in a lifetime, are no intervals."""
    assert read(f"I water {rate}.").measures == ()


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=400))
def test_any_text_is_read(text: str) -> None:
    """No text makes the reader fail, and quotes always lie within the letter."""
    assert all(0 <= sign.start <= sign.end <= len(text) for sign in read(text).signs)


def test_reading_twice_gives_the_same() -> None:
    """The reader keeps nothing between letters, and a lexicon that was kept aside reads the same."""
    letter = "My phal drops its buds since I moved it two weeks ago. No bugs. Nights are 60 F."
    again = pickle.loads(pickle.dumps(reader()))
    assert read(letter) == read(letter) == again.read(letter, date=DATE)


@pytest.mark.parametrize("piece", ["the lower leaves are yellow and the roots are mushy. ", "leaf spot black edge ",
                                   "no not never none ", "> leaf spot\n", "<b>", "&", "12 ", "a"])
def test_long_letters_take_their_length_and_no_more(piece: str) -> None:
    """A letter of 60 kB takes seconds at most, whatever it repeats."""
    letter = (piece * 60_000)[:60_000]
    start = time.process_time()
    read(letter)
    assert time.process_time() - start < 5.0
