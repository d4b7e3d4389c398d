"""The outlook of whole benches: what is named, what is not, who is told of whom, and in what order."""

from __future__ import annotations

import datetime as dt
from functools import cache
from pathlib import Path

import pytest

from diagnose.model.outlook import Finding, PlantOutlook
from diagnose.problems import InputError
from diagnose.rounds import outlook
from diagnose.workbench import Workbench
from tests.own import own_base
from tests.support.benches import BenchSpec, PlantSpec, write_bench

DATE = dt.date(2026, 3, 2)
GROUPS = [group for group in own_base().groups if group != "unknown"]


@cache
def workbench() -> Workbench:
    """The project's rule base, opened once."""
    return Workbench.open()


def found(folder: Path, spec: BenchSpec) -> dict[str, PlantOutlook]:
    """The outlook of a bench by plant, in its order."""
    rounds = outlook(workbench(), write_bench(folder, spec), spec.date, lambda *_: None)
    return {plant.plant: plant for plant in rounds.outlook.plants}


def phal(plant: str = "P-1", place: str = "sill", **more: object) -> PlantSpec:
    """A moth orchid as it likes to be."""
    return PlantSpec(plant, "phalaenopsis", place, **more)  # type: ignore[arg-type]


def causes(plant: PlantOutlook) -> dict[str, Finding]:
    """The findings of a plant by cause."""
    return {finding.cause: finding for finding in plant.findings}


@pytest.mark.parametrize("date", [dt.date(2026, 3, 2), dt.date(2026, 6, 15), dt.date(2026, 10, 10)])
def test_plants_kept_as_their_groups_want_give_no_worry(tmp_path: Path, date: dt.date) -> None:
    """One plant of every group, each in the climate and care of its group's needs: silence."""
    plants = tuple(PlantSpec(f"P-{group}", group, f"room-{group}") for group in GROUPS)
    assert {name: list(causes(plant)) for name, plant in found(tmp_path, BenchSpec(date, plants)).items()
            if plant.findings} == {}


def test_plants_of_the_south_give_no_worry_either(tmp_path: Path) -> None:
    """The same on the other half of the earth, half a year later in its seasons."""
    plants = tuple(PlantSpec(f"P-{group}", group, f"room-{group}") for group in GROUPS)
    shown = found(tmp_path, BenchSpec(DATE, plants, hemisphere="south"))
    assert {name: list(causes(plant)) for name, plant in shown.items() if plant.findings} == {}


@pytest.mark.parametrize(("climate", "cause", "word"), [
    ({"humidity_pct": 30, "last_days": 45}, "dry_air", "humidity"),
    ({"night_low_c": 10, "day_high_c": 18, "last_days": 20}, "chill_or_cold_damage", "°C"),
    ({"night_low_c": 24, "day_high_c": 37, "last_days": 14}, "heat_stress", "°C"),
    ({"light_lux": 3000, "last_days": 60}, "too_little_light", "lux"),
    ({"light_lux": 45000, "last_days": 10}, "sunburn", "lux"),
])
def test_climate_out_of_range_is_told(tmp_path: Path, climate: dict[str, float], cause: str, word: str) -> None:
    """What a place does to its plant is told with the figure, what shows first, and what to do."""
    plant = found(tmp_path, BenchSpec(DATE, (phal(),), {"sill": climate}))["P-1"]
    finding = causes(plant)[cause]
    assert finding.probability > 3 * finding.book
    assert any(word in reason for reason in finding.because)
    assert finding.first.startswith("To show first")
    assert finding.do


@pytest.mark.parametrize(("plant", "cause"), [
    (phal(gap_days=17), "underwatered"),
    (phal(gap_days=2), "overwatered_root_rot"),
    (phal(feeds=False), "nitrogen_short"),
    (phal(entry={"potted_on": "2022-05-01"}), "medium_broken_down"),
    (phal(entry={"stage": "in_bud"}, care=((4, "move", "", "", "to the hall"),)), "bud_blast_after_move_or_shock"),
])
def test_care_out_of_range_is_told(tmp_path: Path, plant: PlantSpec, cause: str) -> None:
    """So is what the care log shows."""
    assert cause in causes(found(tmp_path, BenchSpec(DATE, (plant,)))["P-1"])


def test_causes_of_buds_need_buds(tmp_path: Path) -> None:
    """Dry air threatens the buds of a plant that has some, not those of one that only grows."""
    plants = (phal("P-1", entry={"stage": "in_bud"}), phal("P-2"))
    shown = found(tmp_path, BenchSpec(DATE, plants, {"sill": {"humidity_pct": 30, "last_days": 45}}))
    assert "bud_blast_dry_air" in causes(shown["P-1"])
    assert "bud_blast_dry_air" not in causes(shown["P-2"])


def test_worst_comes_first(tmp_path: Path) -> None:
    """Heat before a slow lack of light before a plant that is well."""
    plants = (phal("P-well", "shelf"), phal("P-dim", "corner"), phal("P-hot", "pane"))
    dim, hot = {"light_lux": 3000, "last_days": 60}, {"night_low_c": 24, "day_high_c": 38, "last_days": 10}
    shown = found(tmp_path, BenchSpec(DATE, plants, {"corner": dim, "pane": hot}))
    assert list(shown) == ["P-hot", "P-dim", "P-well"]
    assert shown["P-well"].findings == ()


def seen(days_ago: int, what: str) -> tuple[int, str, str, str, str]:
    """A row of what was seen."""
    return days_ago, "seen", "", "", what


def treated(days_ago: int, with_what: str) -> tuple[int, str, str, str, str]:
    """A row of a treatment."""
    return days_ago, "treat", "", "", with_what


def test_spreading_cause_reaches_the_neighbours(tmp_path: Path) -> None:
    """Mealybug seen on one plant: it names its neighbours to inspect; no plant of another place is concerned."""
    ill = phal("P-1", care=(seen(3, "pest_cottony_white"), seen(3, "leaf_sticky")))
    shown = found(tmp_path, BenchSpec(DATE, (ill, phal("P-2"), phal("P-3", "hall"))))
    own = causes(shown["P-1"])["mealybug"]
    assert any("P-2" in line and "P-3" not in line for line in own.do)
    assert any("Seen 3 days ago" in line for line in own.because)
    assert own.first == ""
    mate = causes(shown["P-2"]).get("mealybug")
    assert mate is None or any("P-1" in line for line in mate.because)
    assert "mealybug" not in causes(shown["P-3"])


def test_new_neighbour_of_a_pest_is_told(tmp_path: Path) -> None:
    """A plant that is new itself and stands beside one with mealybugs has two reasons for them."""
    plants = (phal("P-1", care=(seen(3, "pest_cottony_white"), seen(3, "leaf_sticky"))),
              phal("P-2", care=((30, "arrive", "", "", ""),)))
    mate = causes(found(tmp_path, BenchSpec(DATE, plants))["P-2"])["mealybug"]
    assert any("P-1" in line for line in mate.because)
    assert any("arrived 30 days ago" in line for line in mate.because)


def test_signs_on_several_plants_raise_the_cause_of_the_place(tmp_path: Path) -> None:
    """Brown tips on two plants of a dry place: a third, which shows none, is warned more than it would be alone."""
    dry = {"sill": {"humidity_pct": 40, "last_days": 45}}
    ill = (phal("P-1", care=(seen(5, "leaf_tip_dry_brown"),)), phal("P-2", care=(seen(5, "leaf_tip_dry_brown"),)))
    alone = causes(found(tmp_path / "alone", BenchSpec(DATE, (phal("P-3"),), dry))["P-3"])["dry_air"]
    with_others = causes(found(tmp_path / "with", BenchSpec(DATE, (*ill, phal("P-3")), dry))["P-3"])["dry_air"]
    assert with_others.probability > alone.probability
    assert any("P-1, P-2" in line for line in with_others.because)


def pest_plant(*rows: tuple[int, str, str, str, str]) -> PlantSpec:
    """A plant with mealybugs seen twice before it was treated."""
    return phal(care=(seen(45, "pest_cottony_white"), seen(40, "leaf_sticky"), *rows))


def chance(plant: PlantOutlook, cause: str) -> float:
    """The probability of a cause, nought where it is not named."""
    return causes(plant)[cause].probability if cause in causes(plant) else 0.0


def test_signs_that_outlast_a_treatment_speak_against_its_cause(tmp_path: Path) -> None:
    """Cotton still there when the treatment was due to show: likely all the same, yet less than without it."""
    still = found(tmp_path / "still", BenchSpec(DATE, (pest_plant(treated(38, "alcohol swab"),
                                                                  seen(5, "pest_cottony_white")),)))["P-1"]
    plain = found(tmp_path / "plain", BenchSpec(DATE, (pest_plant(seen(5, "pest_cottony_white")),)))["P-1"]
    assert 0.1 < chance(still, "mealybug") < chance(plain, "mealybug")
    assert any("the signs are still there" in line for line in causes(still)["mealybug"].because)


def test_clean_look_after_a_treatment_ends_the_worry(tmp_path: Path) -> None:
    """Looked over after the due time and found clean: the pest is not named any more. Before it, nothing is settled."""
    clean = found(tmp_path / "clean", BenchSpec(DATE, (pest_plant(treated(38, "alcohol swab"), seen(5, "clean")),)))
    assert chance(clean["P-1"], "mealybug") == 0
    early = found(tmp_path / "early", BenchSpec(DATE, (pest_plant(treated(20, "alcohol swab"),),)))
    assert chance(early["P-1"], "mealybug") > 0.1


def test_unknown_group_is_one_clear_message(tmp_path: Path) -> None:
    """A group that the rule base does not know is named with its line and the nearest one."""
    spec = BenchSpec(DATE, (phal(entry={"group": "phalaenopsys"}),))
    write_bench(tmp_path, spec)
    with pytest.raises(InputError, match=r'bench.yaml:.*phalaenopsys.*Did you mean "phalaenopsis"'):
        outlook(workbench(), tmp_path, DATE, lambda *_: None)


def test_nothing_logged_later_is_read(tmp_path: Path) -> None:
    """The outlook as of a day does not know what was seen after it."""
    plant = phal(care=(seen(-3, "pest_cottony_white"), treated(-2, "alcohol")))
    later = found(tmp_path / "later", BenchSpec(DATE, (plant,)))["P-1"]
    never = found(tmp_path / "never", BenchSpec(DATE, (phal(),)))["P-1"]
    assert (later.findings, later.season) == (never.findings, never.season)


def test_progress_is_told(tmp_path: Path) -> None:
    """Both halves of the work are counted, plant by plant."""
    told: list[tuple[str, int, int]] = []
    spec = BenchSpec(DATE, (phal("P-1"), phal("P-2")))
    outlook(workbench(), write_bench(tmp_path, spec), DATE, lambda *step: told.append(step))
    assert told == [("reading", 1, 2), ("reading", 2, 2), ("reasoning", 1, 2), ("reasoning", 2, 2)]
