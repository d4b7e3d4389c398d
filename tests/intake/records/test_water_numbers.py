"""Published and worked figures of media and water use, against the rule base and the bucket."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pytest
import yaml

from diagnose.intake.records.pot_water import Pot, pot_of
from diagnose.intake.records.water_rate import usual_rate
from diagnose.knowledge.folder import load
from diagnose.knowledge.store import default_folder
from tests.intake.records.water_truth import group_water, water_rules

DATA = Path(__file__).parents[2] / "data" / "numbers_water.yaml"
NUMBERS: dict[str, dict[str, Any]] = {
    entry["id"]: entry for entry in yaml.safe_load(DATA.read_text(encoding="utf-8"))["checks"]}
TRIAL_NAMES = {"expanded_clay": "inert", "pine_bark": "bark", "bark_pumice_sphagnum": "mixed", "sphagnum": "sphagnum"}


def expected(number: str) -> Any:
    """What a figure says."""
    return NUMBERS[number]["expected"]


@pytest.mark.parametrize("name", TRIAL_NAMES)
def test_media_hold_what_was_weighed(name: str) -> None:
    """WAT-13: each medium of the rule base holds what the kitchen-scale trial found for it, within one per cent."""
    share = expected("WAT-13")[name][1]
    assert water_rules().media[TRIAL_NAMES[name]].holds_share == pytest.approx(share, abs=0.01)


def test_bark_lies_within_the_span_of_its_suppliers() -> None:
    """WAT-14: the container capacity of bark lies between those of the barks compared."""
    low, high = expected("WAT-14")["container_capacity"]
    assert low <= 100 * water_rules().media["bark"].holds_share <= high


def test_spread_of_capacity_allows_for_age_and_height() -> None:
    """WAT-16, WAT-17: what half a year of age or a taller pot does to bark lies within two stated spreads."""
    spread = 2 * water_rules().loss.capacity_spread
    assert math.exp(-spread) <= 1 + expected("WAT-17")["medium"] / 100
    assert math.exp(spread) >= 1 + expected("WAT-16")["cc"] / 100


def test_moss_counts_as_dry_where_moth_orchids_lost_buds() -> None:
    """WAT-18: a moth orchid's moss counts as dry above the share of water at which buds dropped, below that of 0.4."""
    moss = water_rules().media["sphagnum"]
    dry_below = moss.holds_share - moss.usable_share * group_water("between").may_use_share
    assert expected("WAT-18")["stress_at_or_below"] < dry_below < 0.4


def test_days_to_dry() -> None:
    """WAT-20: 102.4 g of which six tenths may go, at 8 g a day, last 7.68 days; the clay of the same pot 2.1."""
    given = NUMBERS["WAT-20"]["inputs"]
    moss = Pot(given["held_g"], 0, given["fraction_used"])
    clay = Pot(expected("WAT-13")["expanded_clay"][0], 0, given["fraction_used"])
    assert moss.bridge_ml / given["loss_g_d"] == pytest.approx(expected("WAT-20"), abs=0.001)
    assert clay.bridge_ml / given["loss_g_d"] == pytest.approx(2.1, abs=0.05)


def test_loss_is_in_proportion_to_the_deficit() -> None:
    """WAT-12: what loses 20 ml a day at 0.6 kPa loses 40 at 1.2."""
    given = NUMBERS["WAT-12"]["inputs"]
    per_kpa = given["loss"] / given["vpd0"]
    assert per_kpa * given["vpd1"] == pytest.approx(expected("WAT-12"))


def test_limit_of_the_straight_line() -> None:
    """WAT-11: the loss is taken as straight as far as it was found to be."""
    assert water_rules().loss.straight_to_kpa == expected("WAT-11")["linear_to_kPa"]


def test_usual_loss_of_every_group_is_credible() -> None:
    """WAT-09, WAT-10: in moderate air every group's usual pot loses more than 1 mm from its surface, and less than the
    thirstiest shrub."""
    rules = water_rules()
    for group in load(default_folder()).groups.values():
        pot = pot_of("bark", None, 0, rules.for_group(group.dry_out))
        assert pot is not None
        rate = usual_rate(pot, rules.loss.usual_pot_ml, group.needs["water_gap_days"].value, rules.loss)
        daily = rate.ml_per_kpa * rules.loss.moderate_kpa
        assert expected("WAT-09") <= daily <= expected("WAT-10")["hydrangea"][1]


def test_every_number_is_used() -> None:
    """No figure of the data file is left without a check (their ids stand in the tests above)."""
    text = Path(__file__).read_text(encoding="utf-8")
    assert [number for number in NUMBERS if number not in text] == []
