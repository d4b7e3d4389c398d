"""What the next weeks ask for: season, stage, hemisphere, climate, newcomers, treatments, second looks."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from functools import cache

import pytest

from diagnose.knowledge.store import default_folder
from diagnose.model.desk import Wording
from diagnose.model.facts import Case, Event, Measure, Origin, PlantContext, SeenSign, State
from diagnose.model.outlook import BenchPlant, Days, Sighting, TaskDue
from diagnose.reason.outlook_signs import last_rounds, latest_signs, verdicts
from diagnose.reason.season import season_of_plant
from diagnose.reason.standing import stand
from diagnose.rounds import outlook_wording
from tests.own import own_rulebook

DATE = dt.date(2026, 3, 2)
COTTON = SeenSign("pest_cottony_white", State.PRESENT, Origin.CARE_LOG)
NO_COTTON = SeenSign("pest_cottony_white", State.ABSENT, Origin.CARE_LOG)


@cache
def wording() -> Wording:
    """The texts of the outlook."""
    return outlook_wording(default_folder())


def plant(group: str, date: dt.date, *, stage: str = "resting", hemisphere: str = "north", place: str = "indoors",
          measures: Iterable[tuple[str, float, int]] = (), events: Iterable[tuple[str, int, str]] = (),
          sightings: tuple[Sighting, ...] = (), reservoir: bool | None = None) -> BenchPlant:
    """A plant as the records would have it; measures as (id, value, days), events as (action, days ago, detail)."""
    context = PlantContext(group, stage, "bark", "flowering", place, reservoir, hemisphere)
    case = Case(
        date, context, has_records=True,
        measures=tuple(Measure(name, value, "", Origin.CLIMATE_LOG, days) for name, value, days in measures),
        events=tuple(Event(action, ago, Origin.CARE_LOG, quote=detail) for action, ago, detail in events))
    return BenchPlant("P-1", "sill", case, sightings)


def tasks(subject: BenchPlant, raised: Iterable[str] = ()) -> dict[str, TaskDue]:
    """The tasks due on a plant, by their first words."""
    standing = stand(own_rulebook(), subject.case)
    due = season_of_plant(own_rulebook(), wording(), subject, standing, list(raised))
    return {" ".join(task.do.split()[:3]): task for task in due}


@pytest.mark.parametrize(("date", "hemisphere", "asked"), [
    (dt.date(2026, 9, 1), "north", True), (dt.date(2026, 3, 1), "south", True), (dt.date(2026, 5, 1), "north", False),
    (dt.date(2026, 11, 1), "south", False), (dt.date(2026, 9, 1), "", False),
])
def test_cool_nights_for_a_cymbidium_follow_the_hemisphere(date: dt.date, hemisphere: str, asked: bool) -> None:
    """Late summer nights start the spikes, in either half of the earth; nothing is said where that is unknown."""
    found = tasks(plant("cymbidium", date, hemisphere=hemisphere))
    assert ("Leave it out," in found) is asked


def test_cool_nights_that_were_given_are_not_asked_for() -> None:
    """A log with five weeks of cool nights silences the task."""
    had = [("nights_at_cue", 40.0, 150), ("nights_at_cue", 60.0, 300)]
    assert "Leave it out," not in tasks(plant("cymbidium", dt.date(2026, 9, 1), measures=had))


def test_days_of_a_task_are_clipped_to_six_weeks() -> None:
    """From today or its first day, to its last or the end of the six weeks."""
    rest = tasks(plant("dendrobium_nobile", dt.date(2026, 10, 10)))["Give the cool,"]
    assert (rest.first, rest.last) == (dt.date(2026, 10, 20), dt.date(2026, 11, 21))
    ending = tasks(plant("dendrobium_nobile", dt.date(2027, 1, 20)))["Give the cool,"]
    assert (ending.first, ending.last) == (dt.date(2027, 1, 20), dt.date(2027, 1, 31))


def test_a_span_over_the_turn_of_the_year_holds_on_both_sides() -> None:
    """A rest from autumn to January is asked for in December and in January."""
    for date in (dt.date(2026, 12, 15), dt.date(2027, 1, 5)):
        assert "Give the cool," in tasks(plant("dendrobium_nobile", date))


@pytest.mark.parametrize(("stage", "words"), [
    ("growth_forming", "Repot now, as"), ("after_flower", "Repot within the"), ("in_bud", "Leave it in")])
def test_old_medium_is_dealt_with_by_stage(stage: str, words: str) -> None:
    """At root start or after the flowers it is repotted; in bud it waits."""
    old = [("months_since_potting", 40.0, 0)]
    assert words in tasks(plant("phalaenopsis", DATE, stage=stage, measures=old))


def test_feed_goes_down_in_autumn_with_the_groups_own_figure() -> None:
    """The rest strength of the group stands in the text."""
    fed = [("feeds_per_month", 3.0, 75), ("feeds_per_month", 3.0, 60), ("feed_strength_mean", 125.0, 75)]
    assert "75 ppm" in tasks(plant("phalaenopsis", dt.date(2026, 10, 1), measures=fed))["Bring the feed"].do


def test_outdoors_near_the_limit_comes_in() -> None:
    """Nights a little over what the group wants, outdoors: bring it in, with the figures."""
    near = [("temperature_night_low", 8.5, 7), ("temperature_night_low", 8.5, 14)]
    found = tasks(plant("cymbidium", dt.date(2026, 11, 20), place="outdoors", measures=near))["Bring it in"]
    assert "8.5 C" in found.because
    assert "7 C" in found.because


def test_a_task_without_its_figure_says_so_otherwise() -> None:
    """Where the figure of a reason is unknown the other words are used, never a gap."""
    subject = plant("miltoniopsis", dt.date(2026, 7, 1), events=[("flush", 40, ""), ("arrive", 2, "")])
    for task in tasks(subject).values():
        assert "{" not in task.do + task.because


def test_quarantine_runs_from_the_arrival() -> None:
    """Ten days after it came: four more days apart, and from then on the quarantine may end."""
    found = tasks(plant("phalaenopsis", DATE, events=[("arrive", 10, "from a nursery")]))
    assert found["Keep the newcomer"].last == DATE + dt.timedelta(days=4)
    assert found["End the quarantine"].first == DATE + dt.timedelta(days=4)


def test_back_from_a_show_is_kept_apart() -> None:
    """A move whose detail speaks of a show asks for isolation; another move does not."""
    assert "Keep it apart" in tasks(plant("phalaenopsis", DATE, events=[("move", 2, "back from the show")]))
    assert "Keep it apart" not in tasks(plant("phalaenopsis", DATE, events=[("move", 2, "to the hall")]))


def test_treatment_is_repeated_until_its_rounds_are_done() -> None:
    """Alcohol six days ago: again in one to four days. After the third round a look is asked for instead."""
    once = tasks(plant("phalaenopsis", DATE, events=[("treat", 6, "alcohol swab")]))["Repeat the treatment"]
    assert (once.first, once.last) == (DATE + dt.timedelta(days=1), DATE + dt.timedelta(days=4))
    assert "round 2 of 3" in once.do
    rounds = [("treat", 24, "alcohol"), ("treat", 15, "alcohol"), ("treat", 6, "alcohol")]
    done = tasks(plant("phalaenopsis", DATE, events=rounds))
    assert "Repeat the treatment" not in done
    assert done["Look it over"].first == DATE + dt.timedelta(days=15)


def test_overdue_round_is_asked_for_now_and_a_forgotten_one_is_not() -> None:
    """Overdue by a week: now, within days. Overdue by two months: nobody is reminded any more."""
    overdue = tasks(plant("phalaenopsis", DATE, events=[("treat", 17, "soap spray")]))["Repeat the treatment"]
    assert overdue.first == DATE
    assert "Repeat the treatment" not in tasks(plant("phalaenopsis", DATE, events=[("treat", 70, "soap spray")]))


def test_what_was_seen_is_looked_at_again() -> None:
    """When the cause that it most likely means says so."""
    subject = plant("phalaenopsis", DATE, sightings=(Sighting(3, (COTTON,)),))
    due = own_rulebook().base.causes["mealybug"].look_again_days
    assert tasks(subject, ["mealybug"])["Look at it"].first == DATE + dt.timedelta(days=due - 3)


def test_reservoir_is_refilled_before_it_runs_dry() -> None:
    """A reservoir that will be dry within days is named with the figure; a full one is not."""
    dry = plant("phalaenopsis", DATE, measures=[("reservoir_dry_in_days", 4.0, 0)], reservoir=True)
    assert "about 4 days" in tasks(dry)["Refill the reservoir;"].do
    full = plant("phalaenopsis", DATE, measures=[("reservoir_dry_in_days", 12.0, 0)], reservoir=True)
    assert "Refill the reservoir;" not in tasks(full)


def test_last_look_decides_on_each_sign() -> None:
    """A sign seen and later seen to be gone is absent; a look that found nothing makes all before it absent."""
    def states(*looks: Sighting) -> list[State]:
        return [sign.state for sign in latest_signs(looks)]

    assert states(Sighting(20, (COTTON,)), Sighting(5, (NO_COTTON,))) == [State.ABSENT]
    assert states(Sighting(20, (COTTON,)), Sighting(5, clean=True)) == [State.ABSENT]
    assert states(Sighting(20, (NO_COTTON,)), Sighting(5, (COTTON,))) == [State.PRESENT]
    assert states(Sighting(80, (COTTON,))) == []


def test_rounds_of_a_series_are_counted() -> None:
    """Three rounds within their interval are one series; one of half a year before is not of it."""
    rules = own_rulebook().base.outlook
    assert rules is not None
    events = [("treat", 190, "alcohol"), ("treat", 20, "alcohol"), ("treat", 11, "70 % Alcohol"), ("treat", 2, "swab")]
    rounds = last_rounds(rules, plant("phalaenopsis", DATE, events=events).case)
    assert [(last.treatment.id, last.days_ago, last.number) for last in rounds] == [("alcohol", 2, 3)]
    assert rounds[0].treatment.repeat == Days(7, 10)


def test_treatment_is_judged_only_after_its_time_and_by_a_look() -> None:
    """Before the due time, without a look, or where nothing was seen before it, a treatment proves nothing."""
    rules = own_rulebook().base.outlook
    assert rules is not None

    def judged(*looks: Sighting, treated_days_ago: int = 30) -> set[tuple[str, bool]]:
        subject = plant("phalaenopsis", DATE, events=[("treat", treated_days_ago, "alcohol")], sightings=looks)
        return {(verdict.cause, verdict.still_there) for verdict in verdicts(own_rulebook(), rules, subject)}

    before = Sighting(35, (COTTON,))
    assert ("mealybug", True) in judged(before, Sighting(4, (COTTON,)))
    assert ("mealybug", False) in judged(before, Sighting(4, (NO_COTTON,)))
    assert ("mealybug", False) in judged(before, Sighting(4, clean=True))
    assert judged(before) == set()
    assert judged(before, Sighting(20, (COTTON,))) == set()
    assert judged(Sighting(4, (COTTON,))) == set()
    assert judged(before, Sighting(4, (COTTON,)), treated_days_ago=10) == set()
