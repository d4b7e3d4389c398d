"""One short line for the care log: what it becomes, and what is asked back."""

from __future__ import annotations

import pytest

from diagnose.intake.records.log_line import read_log_line
from diagnose.intake.records.terms import ACTIONS
from diagnose.knowledge.log_words import read_log_words
from diagnose.knowledge.store import default_folder
from diagnose.model.log_words import LogWords
from diagnose.problems import InputError
from tests.intake.records.folders import DATE

WORDS = read_log_words(default_folder())
PLANTS = ["P-1", "P-07", "P-08", "P-12", "Old white"]
PLACES = {"balcony": ["P-12", "P-08"], "east-window": ["P-07"]}
SMALL = LogWords({"wets": "water", "looks at": "seen"}, {"asleep": "resting"}, ("each",), ("und",), ("the",))


def rows(line: str, words: LogWords = WORDS) -> list[str]:
    """The rows of a line, each as its cells with bars between."""
    found = read_log_line(line, words, PLANTS, PLACES, DATE)
    assert all(row.date == DATE for row in found)
    return ["|".join((row.plant, row.action, row.amount, row.unit, row.detail)).rstrip("|") for row in found]


@pytest.mark.parametrize(("line", "wanted"), [
    ("fed P-07 150 ppm N", ["P-07|feed|150|ppm N"]),
    ("moved all", ["*|move"]),
    ("moved all to balcony", ["*|move|||to balcony"]),
    ("fed P-07 with 150ppm N; pH 6.0", ["P-07|feed|150|ppm N|pH 6.0"]),
    ("fed p-07 20-20-20 1 g/l", ["P-07|feed|||20-20-20 1 g/l"]),
    ("watered P-07, P-08 and P-12 0,5 l rain water",
     ["P-07|water|0.5|l|rain water", "P-08|water|0.5|l|rain water", "P-12|water|0.5|l|rain water"]),
    ("I have watered the balcony", ["P-08|water", "P-12|water"]),
    ("watered balcony and P-08", ["P-08|water", "P-12|water"]),
    ("P-07 in bud", ["P-07|stage|||in_bud"]),
    ("P-07 is in bud", ["P-07|stage|||in_bud"]),
    ("stage P-07 growth_forming", ["P-07|stage|||growth_forming"]),
    ("saw P-07 black spots on leaf", ["P-07|seen|||black spots on leaf"]),
    ("Old white weighed 1240 g", ["Old white|weigh|1240|g"]),
    ("weighed P-1 950g", ["P-1|weigh|950|g"]),
    ("soaked P-12 20 minutes in rain water", ["P-12|soak|20|min|in rain water"]),
    ("watered P-07 at 64 °F", ["P-07|water|17.7778|C"]),
    ("watered P-07 2 cupfuls", ["P-07|water|||2 cupfuls"]),
    ("fed P-07 1/2 tsp per gallon of 20-20-20", ["P-07|feed|||1/2 tsp per gallon of 20-20-20"]),
    ("watered P-07 1/4 gal", ["P-07|water|0.946353|l"]),
    ("cut P-07 2 spikes", ["P-07|cut|||2 spikes"]),
    ("   treated   P-07   alcohol swab ", ["P-07|treat|||alcohol swab"]),
])
def test_line_becomes_rows(line: str, wanted: list[str]) -> None:
    """A grower's short line becomes the rows it means."""
    assert rows(line) == wanted


@pytest.mark.parametrize(("line", "code", "hint"), [
    ("fedd P-07 150 ppm N", "unknown-action", 'Did you mean "fed"?'),
    ("P-07", "unknown-action", "Write for example"),
    ("", "unknown-action", "Write for example"),
    ("fed P-77 150 ppm N", "unknown-plant", "P-07"),
    ("fed", "unknown-plant", "P-07"),
    ("fed P-07 150", "no-unit", "ppm N"),
    ("fed P-07 150 ppx", "unknown-unit", 'Did you mean "ppm"?'),
    ("stage P-07 in_bud_now", "unknown-stage", "in_bud"),
    ("refilled P-07 200 ml and P-08", "plant-too-late", "before the amount"),
])
def test_what_is_not_understood_is_asked_back(line: str, code: str, hint: str) -> None:
    """One message with the nearest known word; nothing is guessed."""
    with pytest.raises(InputError) as caught:
        rows(line)
    assert [problem.code for problem in caught.value.problems] == [code]
    assert hint in str(caught.value)


def test_exact_letters_go_before_others() -> None:
    """Of two plants that differ in capitals alone, the one typed is meant."""
    found = read_log_line("fed p-9", WORDS, ["P-9", "p-9"], {}, DATE)
    assert [row.plant for row in found] == ["p-9"]


def test_words_are_data() -> None:
    """Other words in the rule base make another language of the line."""
    assert rows("wets the P-07 und P-08", SMALL) == ["P-07|water", "P-08|water"]
    assert rows("each asleep", SMALL) == ["*|stage|||resting"]


def test_every_action_has_words() -> None:
    """Each action of the care log can be said."""
    assert set(WORDS.actions.values()) == set(ACTIONS)
