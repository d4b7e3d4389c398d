"""Facts of the trade hold in the program, each in the context it belongs to (all: common practice)."""

from __future__ import annotations

import datetime as dt

import pytest

from diagnose.model.facts import Case, Event, Measure, Origin, PlantContext, SeenSign, State
from diagnose.model.result import CauseFound
from diagnose.workbench import Workbench

DAY = dt.date(2026, 1, 15)


@pytest.fixture(scope="module")
def bench() -> Workbench:
    """The project's own rule base, opened once."""
    return Workbench.open()


def case(*present: str, absent: tuple[str, ...] = (), plant: PlantContext | None = None,
         measures: tuple[Measure, ...] = (), events: tuple[Event, ...] = ()) -> Case:
    """A case answered at the bench."""
    signs = [SeenSign(sign, State.PRESENT, Origin.ANSWER) for sign in present]
    signs += [SeenSign(sign, State.ABSENT, Origin.ANSWER) for sign in absent]
    return Case(DAY, plant or PlantContext(), tuple(signs), measures, events)


def logged(measure: str, value: float, unit: str, days: int = 30) -> Measure:
    """A measure of the climate log."""
    return Measure(measure, value, unit, Origin.CLIMATE_LOG, days)


def first(bench: Workbench, facts: Case) -> CauseFound:
    """The leading cause."""
    return bench.answer(facts).causes[0]


def chance(bench: Workbench, facts: Case, cause: str) -> float:
    """The probability of a cause."""
    return next((c.probability for c in bench.answer(facts).causes if c.cause == cause), 0.0)


def texts(cause: CauseFound) -> str:
    """All that is said of a cause."""
    return " ".join([*cause.do, *cause.do_not, cause.expect, *cause.settle])


def conditions(bench: Workbench, facts: Case) -> set[str]:
    """The conditions that hold."""
    return {firing.gives.removeprefix("condition=") for firing in bench.stand(facts).firings
            if firing.gives.startswith("condition=")}


def test_a_crinkled_leaf_stays_crinkled(bench: Workbench) -> None:
    """A leaf that crinkled for want of water stays so, while the part that grows later is smooth (common practice)."""
    found = first(bench, case("new_leaf_crinkled"))
    assert found.cause == "water_short_while_growth_forms"
    assert "never flatten" in found.expect
    assert "smooth" in found.expect


def test_buds_blast_after_a_move(bench: Workbench) -> None:
    """Buds may blast within about two weeks of a move, not months after it (common practice)."""
    plant = PlantContext(group="phalaenopsis", stage="in_bud")
    moved = case("buds_drop", plant=plant, events=(Event("move", 8, Origin.CARE_LOG),))
    long_ago = case("buds_drop", plant=plant, events=(Event("move", 90, Origin.CARE_LOG),
                                                      Event("move", 89, Origin.CARE_LOG, happened=False),
                                                      Event("arrive", 200, Origin.CARE_LOG, happened=False)))
    assert first(bench, moved).cause == "bud_blast_after_move_or_shock"
    assert chance(bench, long_ago, "bud_blast_after_move_or_shock") < 0.1


@pytest.mark.parametrize(("humidity_pct", "dry"), [(35.0, True), (70.0, False)])
def test_tips_burn_in_dry_air(bench: Workbench, humidity_pct: float, dry: bool) -> None:
    """Tips burn in dry air; growers of such plants want 60 % relative humidity or more (common practice)."""
    plant = PlantContext(group="miltoniopsis")
    facts = case("leaf_tip_dry_brown", plant=plant,
                 measures=(logged("relative_humidity_mean", humidity_pct, "%"),))
    assert bench.base.groups["miltoniopsis"].needs["humidity_low_pct"].value >= 60
    assert (first(bench, facts).cause == "dry_air") is dry


def test_ants_come_to_nectar_alone(bench: Workbench) -> None:
    """Ants come to the nectar of buds and spikes without any sap-sucker being there (common practice)."""
    facts = case("ants_present", "sap_drops_clear", absent=("leaf_sticky", "pest_bumps_scrape_off",
                                                            "pest_cottony_white", "pest_aphids_seen"),
                 plant=PlantContext(stage="in_bud"))
    assert first(bench, facts).cause == "ants_on_nectar_only"
    assert first(bench, facts).kind == "normal"


def test_the_oldest_leaf_dies_back_and_sooner_in_dry_air(bench: Workbench) -> None:
    """The oldest leaf dying back is normal, and comes sooner in dry air (common practice)."""
    plant = PlantContext(group="phalaenopsis")
    dry = case("leaf_yellow_oldest", plant=plant, measures=(logged("relative_humidity_mean", 40, "%"),))
    moist = case("leaf_yellow_oldest", plant=plant, measures=(logged("relative_humidity_mean", 62, "%"),))
    assert first(bench, moist).cause == "old_leaf_ageing"
    assert first(bench, moist).kind == "normal"
    assert bench.stand(dry).network.prior[bench.rulebook.cause_number["old_leaf_ageing"]] > \
        bench.stand(moist).network.prior[bench.rulebook.cause_number["old_leaf_ageing"]]


def test_a_spent_spike_dries_up(bench: Workbench) -> None:
    """A spike that has spent itself dries up, and nothing is wrong (common practice)."""
    found = first(bench, case("spike_dry_after_bloom", plant=PlantContext(stage="after_flower")))
    assert (found.cause, found.kind) == ("spike_spent", "normal")


def test_a_reservoir_is_left_empty_where_nights_are_too_cold(bench: Workbench) -> None:
    """Where nights are colder than the group wants a reservoir cools the roots by evaporation: it may be left empty
    and the pot flushed about weekly (common practice)."""
    plant = PlantContext(group="phalaenopsis", medium="inert", reservoir=True, hemisphere="north", place="indoors")
    facts = case("leaf_limp", "pot_stays_wet", plant=plant,
                 measures=(logged("temperature_night_low", 12.5, "C"), logged("relative_humidity_mean", 38, "%"),
                           logged("hours_below_need", 9, "h/day")))
    found = first(bench, facts)
    assert found.cause == "cold_wet_root_zone"
    assert "reservoir" in texts(found)
    assert "empty" in texts(found).lower()
    assert "week" in texts(found)


def test_strong_feed_belongs_to_hungry_growth_and_hardly_any_to_the_cold_rest(bench: Workbench) -> None:
    """About 300 ppm is too strong for a salt-sensitive plant, and next to none belongs to the cold rest (common
    practice)."""
    strong = (logged("feed_strength_mean", 300, "ppm N", 60), logged("feed_strength_mean", 300, "ppm N", 45))
    sensitive = case("leaf_tip_dry_brown", plant=PlantContext(group="miltoniopsis"), measures=strong)
    assert "feed_strong" in conditions(bench, sensitive)
    for group in ("dendrobium_nobile", "catasetum_group"):
        needs = bench.base.groups[group].needs
        assert needs["feed_rest_ppm_n"].value <= 25
        assert needs["feed_growth_ppm_n"].value >= 100


def test_calcium_and_magnesium_as_a_soak(bench: Workbench) -> None:
    """Calcium and magnesium at about 60 ppm as a soak of 30 minutes at least, best near pH 6.7 (common practice)."""
    said = " ".join(rule.text for rule in bench.base.causes["calcium_short"].advice)
    assert "60 ppm" in said
    assert "30 minutes" in said
    assert "6.7" in said


def test_inert_medium_brings_no_silicon(bench: Workbench) -> None:
    """Inert medium brings no silicon; some growers add about 100 ppm a month in the season (common practice)."""
    said = " ".join(rule.text for cause in bench.base.causes.values() for rule in cause.advice)
    assert "no silicon" in said
    assert "100 ppm" in said


@pytest.mark.parametrize(("group", "medium", "months", "old"), [
    ("cattleya_alliance", "bark", 16, False), ("cattleya_alliance", "bark", 38, True),
    ("miltoniopsis", "inert", 40, False), ("miltoniopsis", "inert", 52, True),
    ("cattleya_alliance", "inert", 30, False), ("cattleya_alliance", "inert", 40, True),
])
def test_repotting_is_due_after_two_to_three_years_or_four(bench: Workbench, group: str, medium: str, months: float,
                                                           old: bool) -> None:
    """Repot every two to three years, fine-rooted plants in open inert medium up to four (common practice)."""
    facts = case("plant_declining", plant=PlantContext(group=group, medium=medium),
                 measures=(Measure("months_since_potting", months, "months", Origin.CARE_LOG),))
    assert ("medium_old" in conditions(bench, facts)) is old


def test_gurgling_means_air_in_the_root_zone(bench: Workbench) -> None:
    """Gurgling and bubbles when the pot is filled mean air in the root zone (common practice)."""
    said = " ".join(check.check for cause in bench.base.causes.values() for check in cause.settle)
    said += " ".join(question.how for question in bench.base.questions.values())
    assert "bubbles" in said


def test_feed_is_taken_up_best_at_a_stated_ph(bench: Workbench) -> None:
    """Feed at pH 5.8 to 6.3 (common practice)."""
    said = " ".join(rule.text for cause in bench.base.causes.values() for rule in cause.advice)
    assert "5.8" in said
    assert "6.3" in said



def test_what_wets_the_roots_ends_a_drought(bench: Workbench) -> None:
    """A pot that was soaked yesterday is not dry, however long ago it was watered from a can (common practice)."""
    watered = Event("water", 30, Origin.CARE_LOG)
    soaked = Event("soak", 1, Origin.CARE_LOG)
    plant = PlantContext(group="phalaenopsis", stage="growth_forming", medium="bark")
    assert "root_zone_dry_now" in conditions(bench, case("leaf_limp", plant=plant, events=(watered,)))
    assert "root_zone_dry_now" not in conditions(bench, case("leaf_limp", plant=plant, events=(watered, soaked)))


@pytest.mark.parametrize(("lux", "far"), [(20000.0, False), (3000.0, True)])
def test_light_a_little_short_is_not_darkness(bench: Workbench, lux: float, far: bool) -> None:
    """Loggers and sheets differ by a quarter, so only a great want of light counts fully (common practice)."""
    plant = PlantContext(group="cattleya_alliance", size="flowering")
    facts = case("no_bloom", plant=plant, measures=(logged("light_peak_lux", lux, "lux"),))
    assert ("light_far_too_weak" in conditions(bench, facts)) is far
    assert "light_weak" in conditions(bench, facts)


def test_new_leaves_pleat_on_cold_wet_roots_too(bench: Workbench) -> None:
    """A leaf pleats where the pot is wet and too cold to drink from, as it does in a drought (common practice)."""
    plant = PlantContext(group="miltoniopsis", stage="growth_forming", medium="bark", size="flowering")
    cold = (logged("temperature_night_low", 5.0, "C"), logged("water_gap_mean", 2.5, "days"),
            Measure("water_gap_longest", 4.0, "days", Origin.CARE_LOG, 75, 14))
    assert first(bench, case("new_leaf_crinkled", plant=plant, measures=cold)).cause == "cold_wet_root_zone"
