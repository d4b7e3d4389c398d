"""bench.yaml: what is read, and how mistakes are told."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from diagnose.intake.records import terms
from diagnose.intake.records.bench import Bench, read_bench
from diagnose.knowledge import words
from diagnose.problems import InputError
from tests.intake.records.folders import BENCH
from tests.own import own_base


def bench(folder: Path, text: str) -> Bench:
    """A bench from its text."""
    (folder / "bench.yaml").write_text(text, encoding="utf-8")
    return read_bench(folder / "bench.yaml", "bench.yaml", own_base().terms)


def mistakes(folder: Path, text: str) -> list[str]:
    """The problems found in a bench."""
    with pytest.raises(InputError) as caught:
        bench(folder, text)
    return [str(problem) for problem in caught.value.problems]


def test_whole_bench(tmp_path: Path) -> None:
    """Every key of the format arrives, in its own kind of value."""
    hints = "climate: {east-window: {date_order: day-first, temperature_unit: F, light_source: white_led}}\n"
    found = bench(tmp_path, BENCH + hints)
    place, plant = found.places["east-window"], found.plants["P-07"]
    assert (place.hemisphere, place.latitude_deg, place.kind) == ("north", 47.4, "indoors")
    assert (plant.group, plant.place, plant.medium, plant.size) == ("miltoniopsis", "east-window", "bark", "flowering")
    assert (plant.pot_ml, plant.reservoir_ml, plant.potted_on) == (900, 0, dt.date(2025, 3, 10))
    assert (plant.stage, plant.partial_log, plant.where.line) == ("growth_forming", False, 5)
    assert (found.hints["east-window"].date_order, found.hints["east-window"].temperature_unit) == ("day-first", "F")
    assert found.notes == ()


def test_terms_are_those_of_the_rule_base() -> None:
    """Hemispheres are those the rules speak of, and every action is an event of the rules."""
    assert terms.HEMISPHERES == words.HEMISPHERES
    assert set(terms.ACTIONS) <= set(words.EVENTS)


def test_all_mistakes_at_once_with_place_and_nearest_word(tmp_path: Path) -> None:
    """Each mistake is told with file, line, what was found and what is near; one run tells all of them."""
    text = BENCH.replace("medium: bark", "medium: brak").replace("47.4", "95").replace("2025-03-10", "10.3.2025")
    text = text.replace("size: flowering", "sizes: flowering").replace("place: east-window", "place: east-windw")
    found = mistakes(tmp_path, text)
    assert len(found) == 5
    assert found[0].startswith('bench.yaml:2:')
    assert '"95" does not do for "latitude". Expected a number from -90 to 90.' in found[0]
    assert 'bench.yaml:6:12: "east-windw" is not known for "place". Did you mean "east-window"?' in found[1]
    assert '"brak" is not known for "medium". Did you mean "bark"?' in found[2]
    assert '"10.3.2025" is not a date. Write it as 2026-03-02.' in found[3]
    assert '"sizes" is not a key of the plant P-07. Did you mean "size"?' in found[4]


def test_unknown_keys_are_noted(tmp_path: Path) -> None:
    """A key that is no slip of a known one is kept out of the way, and said to be unused."""
    found = bench(tmp_path, BENCH + "    nickname: Old Faithful\n")
    assert found.notes == ('bench.yaml, line 12: "nickname" is not a key of the plant P-07 and was not used.',)


@pytest.mark.parametrize("name", ["../secret", "/etc/passwd", "..", ".hidden", "a/b", r"a\b", "a:b", "x" * 101, "bad "])
def test_place_names_cannot_leave_the_folder(name: str, tmp_path: Path) -> None:
    """A place names a file of the folder, and nothing else."""
    found = mistakes(tmp_path, f'places:\n  "{name}": {{indoors: true}}\n'.replace("\\", "\\\\"))
    assert len(found) == 1
    assert "[place-name]" in found[0]


@pytest.mark.parametrize("name", ["east-window", "Fenêtre est", "shelf.2", "温室"])
def test_plain_place_names(name: str, tmp_path: Path) -> None:
    """Letters of any script, blanks, dots and dashes do."""
    assert list(bench(tmp_path, f"places: {{{name}: {{indoors: no}}}}\n").places) == [name]


@pytest.mark.parametrize(("text", "code"), [
    ("", "bench-empty"), ("- a\n", "bench-empty"), ("places: {a: 5}\n", "not-a-mapping"),
    ("places: 5\n", "not-a-mapping"), ("plants: {P: {place: [a]}}\n", "not-a-value"),
    ("places: {a: {indoors: maybe}}\n", "not-yes-or-no"),
    ("places: {a: {hemisphere: south, latitude: 40}}\n", "hemisphere"),
    ("climate: {attic: {date_order: day-first}}\n", "no-such-place"), ("place: {a: {}}\n", "unknown-key"),
    ("places:\n\ta: {}\n", "tab"),
])
def test_mistakes_of_form(text: str, code: str, tmp_path: Path) -> None:
    """A bench of the wrong form is refused with one clear problem."""
    found = mistakes(tmp_path, text)
    assert len(found) == 1
    assert f"[{code}]" in found[0]


def test_missing_bench(tmp_path: Path) -> None:
    """A folder without a bench is refused by name."""
    with pytest.raises(InputError, match=r"bench\.yaml: This file cannot be read"):
        read_bench(tmp_path / "bench.yaml")


def test_empty_entries_are_unknown(tmp_path: Path) -> None:
    """A place or plant without keys is there, with everything unknown."""
    found = bench(tmp_path, "places:\n  sill:\nplants:\n  P-1:\n")
    assert (found.places["sill"].kind, found.plants["P-1"].group, found.plants["P-1"].pot_ml) == ("", "", None)


def test_hemisphere_from_the_latitude(tmp_path: Path) -> None:
    """A latitude says which hemisphere it is."""
    assert bench(tmp_path, "places: {a: {latitude: -33.9, greenhouse: yes}}\n").places["a"].hemisphere == "south"
