"""A whole records folder: what is read for a plant, events, context, places, and what stays out."""

from __future__ import annotations

import datetime as dt
import subprocess
import sys
from pathlib import Path

import pytest

from diagnose.intake.records import (
    current_stage,
    events_of,
    noted_words,
    plant_context,
    read_every_plant,
    read_records,
    seen_signs,
)
from diagnose.intake.records.whereabouts import Stay, stays
from diagnose.model.facts import Event, Origin, State
from diagnose.problems import InputError
from tests.intake.records.folders import BENCH, DATE, log, log_rows, records, values, write_folder

CARE = """\
2025-12-01,*,water,,,
2026-01-05,P-07,arrive,,,
2026-01-10,P-07,repot,,,into bark
2026-02-01,*,water,,,
2026-02-10,P-07,move,,,to the hall
2026-02-12,P-07,stage,,,in_bud
2026-02-20,P-07,seen,,,new_leaf_crinkled
2026-02-21,P-07,seen,,,sticky drops on the spike
2026-03-03,P-07,water,,,
"""


def known(events: tuple[Event, ...], event: str, happened: bool = True) -> list[int]:
    """Days ago of an event, or for how long it is known not to have been done."""
    return [each.days_ago for each in events if each.event == event and each.happened is happened]


def test_events_done_and_not_done(tmp_path: Path) -> None:
    """Each action counts with its days ago; what is not logged since the plant came was not done."""
    events = events_of(records(write_folder(tmp_path, care=CARE)))
    assert known(events, "water") == [29]
    assert known(events, "water", happened=False) == [28]
    assert known(events, "repot", happened=False) == [50]
    assert known(events, "flush", happened=False) == [56]
    assert known(events, "seen", happened=False) == []
    assert {each.origin for each in events} == {Origin.CARE_LOG}


def test_partial_log_denies_nothing(tmp_path: Path) -> None:
    """In a partial log nothing is known not to have been done."""
    events = events_of(records(write_folder(tmp_path, bench=BENCH + "    log: partial\n", care=CARE)))
    assert all(each.happened for each in events)


def test_rows_for_all_plants_count_from_arrival(tmp_path: Path) -> None:
    """A plant was not watered with the others before it came."""
    found = records(write_folder(tmp_path, care=CARE))
    assert found.care[0].action == "arrive"


def test_context_of_the_plant(tmp_path: Path) -> None:
    """The stage is that of the last row up to the date, the rest that of the bench."""
    found = records(write_folder(tmp_path, care=CARE))
    context = plant_context(found)
    assert (context.group, context.stage, context.medium) == ("miltoniopsis", "in_bud", "bark")
    assert (context.size, context.place, context.hemisphere) == ("flowering", "indoors", "north")
    assert context.reservoir is False
    assert ("stage", Origin.CARE_LOG) in context.origins
    assert current_stage(records(tmp_path, dt.date(2026, 2, 11))) == "growth_forming"


def test_unknown_stays_unknown(tmp_path: Path) -> None:
    """Of an empty entry nothing is said."""
    context = plant_context(records(write_folder(tmp_path, bench="plants: {P-07: {}}\n")))
    assert (context.group, context.stage, context.place, context.reservoir, context.origins) == ("", "", "", None, ())


def test_what_was_seen(tmp_path: Path) -> None:
    """Signs by id and plain words are told apart; a mistyped id is a problem with its line."""
    found = records(write_folder(tmp_path, care=CARE))
    signs, words, problems = seen_signs(found, ["new_leaf_crinkled"])
    assert [(sign.sign, sign.state, sign.origin) for sign in signs] == [
        ("new_leaf_crinkled", State.PRESENT, Origin.CARE_LOG)]
    assert (words, problems) == (("sticky drops on the spike",), ())
    _, _, problems = seen_signs(found, ["new_leaf_crinkle"])
    assert problems[0].where.line == 8
    assert "Did you mean" in problems[0].hint


def test_remarks_on_what_was_done(tmp_path: Path) -> None:
    """Those of three weeks count, of moves the last alone; beside a wetting they tell of the water."""
    care = """\
2026-01-01,P-07,treat,,,oil
2026-02-12,P-07,move,,,to the hall
2026-02-14,P-07,soak,,,rain
2026-02-20,P-07,move,,,beside the apples
2026-02-27,P-07,seen,,,sticky drops
"""
    assert noted_words(records(write_folder(tmp_path, care=care))) == ("rain water", "beside the apples")


def test_plant_that_is_not_there(tmp_path: Path) -> None:
    """An unknown plant is refused with the nearest one."""
    with pytest.raises(InputError, match=r'"P-7" is not a plant of this bench\. Did you mean "P-07"\?'):
        records(write_folder(tmp_path), plant="P-7")


def test_problems_of_several_files_at_once(tmp_path: Path) -> None:
    """Bad care rows and an ambiguous export are reported together, with file and line."""
    write_folder(tmp_path, care="2026-02-01,P-07,wter,,,\n", east_window="time,temp_c\n05/01/2026 07:30,20\n")
    with pytest.raises(InputError) as caught:
        records(tmp_path)
    assert [problem.code for problem in caught.value.problems] == ["unknown-action", "date-order"]
    assert [Path(problem.where.file).name for problem in caught.value.problems] == ["care.csv", "east-window.csv"]


def test_date_order_given_at_the_call(tmp_path: Path) -> None:
    """The order given at the call settles ambiguous dates; a wrong word is refused."""
    write_folder(tmp_path, east_window="time,temp_c\n05/01/2026 07:30,20\n")
    found = records(tmp_path, date_order="day-first")
    assert found.climate is not None
    assert found.climate.last_day == (dt.date(2026, 1, 5) - dt.date(1970, 1, 1)).days
    with pytest.raises(InputError, match="not a date order"):
        records(tmp_path, date_order="dayfirst")


def test_log_that_ended_long_ago_is_noted(tmp_path: Path) -> None:
    """An export that stops before the date is said to."""
    found = records(write_folder(tmp_path, east_window=log(log_rows(5, 30, end=dt.date(2026, 2, 20)))))
    assert f"the climate log of east-window ends 10 days before {DATE}" in found.notes


TWO_PLACES = """\
places:
  sill: {indoors: true}
  balcony: {indoors: false}
plants:
  P-07: {place: sill}
  P-08: {place: balcony}
"""


def test_climate_follows_the_plant(tmp_path: Path) -> None:
    """After a move to another place of the bench the climate is that of the new place, before it of the old."""
    write_folder(tmp_path, bench=TWO_PLACES, care="2026-02-16,P-07,move,,,from sill to balcony\n",
                 sill=log(log_rows(40, 30, of=lambda _: (20.0, 50.0, 0.0))),
                 balcony=log(log_rows(40, 30, of=lambda _: (10.0, 80.0, 0.0))))
    found = records(tmp_path)
    assert values(found, ("temperature_mean", 15)) == {"temperature_mean": pytest.approx(10)}
    assert values(found, ("temperature_hottest", 30)) == {"temperature_hottest": 20}
    assert plant_context(found).place == "outdoors"
    assert values(records(tmp_path, dt.date(2026, 2, 10)), ("temperature_mean", 7)) == {
        "temperature_mean": pytest.approx(20)}


@pytest.mark.parametrize(("place", "moves", "wanted"), [
    ("sill", [], [Stay("sill")]),
    ("sill", ["to the hall"], [Stay("sill")]),
    ("sill", ["to balcony"], [Stay("sill"), Stay("balcony", 20500)]),
    ("balcony", ["to balcony"], [Stay(""), Stay("balcony", 20500)]),
    ("balcony", ["from the sill to the balcony"], [Stay("sill"), Stay("balcony", 20500)]),
    ("sill", ["balcony", "back to sill"], [Stay(""), Stay("balcony", 20500), Stay("sill", 20501)]),
    ("sill", ["to balcony-2"], [Stay("sill")]),
])
def test_where_a_plant_stood(place: str, moves: list[str], wanted: list[Stay], tmp_path: Path) -> None:
    """Moves between places of the bench are followed; where a plant came from is not made up."""
    day = dt.date(1970, 1, 1) + dt.timedelta(days=20500)
    care = "".join(f"{day + dt.timedelta(days=at)},P-07,move,,,{detail}\n" for at, detail in enumerate(moves))
    bench = TWO_PLACES.replace("P-07: {place: sill}", f"P-07: {{place: {place}}}")
    found = records(write_folder(tmp_path, bench=bench, care=care))
    assert list(stays(place, found.care, ("sill", "balcony"))) == wanted


def test_every_plant_of_the_bench(tmp_path: Path) -> None:
    """All plants come in the order of the bench, each with its own climate."""
    write_folder(tmp_path, bench=TWO_PLACES, sill=log(log_rows(10, 60)), care="2026-02-16,P-08,water,,,\n")
    first, second = read_every_plant(tmp_path, date=DATE)
    assert (first.plant.plant, second.plant.plant) == ("P-07", "P-08")
    assert first.climate is not None
    assert second.climate is None
    assert [len(each.care) for each in (first, second)] == [0, 1]


def test_links_and_missing_line_ends_do_no_harm(tmp_path: Path) -> None:
    """An export may be a link to a file elsewhere, and need not end in a line end."""
    write_folder(tmp_path / "real", sill=log(log_rows(10, 60)).rstrip("\n"))
    write_folder(tmp_path / "folder", care="2026-02-16,P-07,water,,,".rstrip())
    link = tmp_path / "folder" / "climate" / "east-window.csv"
    link.symlink_to(tmp_path / "real" / "climate" / "sill.csv")
    found = read_records(tmp_path / "folder", plant="P-07", date=DATE)
    assert found.climate is not None
    assert found.climate.rows.height == 240
    assert len(found.care) == 1


def test_polars_is_loaded_only_for_climate(tmp_path: Path) -> None:
    """Reading a folder without exports does not load polars."""
    write_folder(tmp_path, care=CARE)
    code = ("import sys, datetime, pathlib\nfrom diagnose.intake.records import *\n"
            "r = read_records(pathlib.Path(sys.argv[1]), plant='P-07', date=datetime.date(2026, 3, 2))\n"
            "measure_case(r, [], {}), summary_measures(r)\nassert 'polars' not in sys.modules\n")
    done = subprocess.run([sys.executable, "-c", code, str(tmp_path)], check=False, capture_output=True, text=True,
                          cwd=Path(__file__).parents[3])
    assert done.stderr == ""
    assert done.returncode == 0


def test_ppm_without_the_scale_of_its_meter_is_said(tmp_path: Path) -> None:
    """A meter's ppm of which the scale is not named is left out with its line; ppm N and a named scale are used."""
    care = "2026-02-01,P-07,feed,500,ppm,\n2026-02-02,P-07,feed,500,ppm,700 scale\n2026-02-03,P-07,feed,100,ppm N,\n"
    found = records(write_folder(tmp_path, care=care)).notes
    assert [note for note in found if "scale" in note] == [
        "line 2 of care.csv: ppm of a meter, whose scale (500, 640 or 700) is not named; not used"]
