"""The expander of variants: what it writes is what its entries say, and the variants themselves are sound."""

from __future__ import annotations

import csv
import datetime as dt
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from diagnose.intake.records.bench import read_bench
from diagnose.intake.records.care import read_care
from tests.support.record_folders import Logger, load_groups, write_records

ROOT = Path(__file__).parents[2]
GROUPS = load_groups(ROOT / "tests" / "data" / "variants")
CASES = [pytest.param(group, one, id=f"{group['name']}-{one['name']}") for group in GROUPS for one in group["variants"]]
Entry = dict[str, Any]

GROUP: Entry = {
    "name": "made_up",
    "letter": "It looks unwell.",
    "date": dt.date(2026, 3, 1),
    "place": {"id": "sill", "hemisphere": "north", "latitude": 50, "indoors": True},
    "plant": {"id": "P-1", "group": "phalaenopsis", "medium": "bark", "pot_ml": 900, "potted_days_ago": 365},
    "climate": [{"from_days_ago": 9, "to_days_ago": 0, "night_low_c": 16, "day_high_c": 22, "humidity_pct": 60}],
    "care": [{"every_days": 3, "from_days_ago": 9, "to_days_ago": 1, "action": "water"}],
    "variants": [],
}


def variant(**more: object) -> Entry:
    """A variant of the made-up group."""
    return {"name": "one", "expect": "dry_air", "why": "for the test", **more}


def rows_of(path: Path) -> list[dict[str, str]]:
    """The rows of a table by the names of its columns."""
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def readings(folder: Path) -> dict[str, list[tuple[float, float]]]:
    """Temperature and humidity of each reading by day."""
    days: dict[str, list[tuple[float, float]]] = {}
    for row in rows_of(folder / "climate" / "sill.csv"):
        pair = float(row["Temperature (°C)"]), float(row["Relative humidity (%)"])
        days.setdefault(row["Time"][:10], []).append(pair)
    return days


def test_each_day_meets_its_extremes_and_mean(tmp_path: Path) -> None:
    """A day has 48 half-hourly readings, touches its low and its high, and keeps its mean humidity."""
    write_records(GROUP, variant(), tmp_path)
    days = readings(tmp_path)
    assert len(days) == 10
    assert (min(days), max(days)) == ("2026-02-20", "2026-03-01")
    for pairs in days.values():
        assert len(pairs) == 48
        assert (min(one[0] for one in pairs), max(one[0] for one in pairs)) == (16, 22)
        assert sum(one[1] for one in pairs) / 48 == pytest.approx(60, abs=0.2)


def test_later_segment_holds_and_curve_has_no_jump(tmp_path: Path) -> None:
    """A segment laid over another replaces its days only, and the temperature never leaps between two readings."""
    cold = {"from_days_ago": 4, "to_days_ago": 3, "night_low_c": 6, "day_high_c": 12, "humidity_pct": 60}
    write_records(GROUP, variant(climate=[cold]), tmp_path)
    days = readings(tmp_path)
    coldest = {day: min(one[0] for one in pairs) for day, pairs in days.items()}
    assert coldest["2026-02-25"] == coldest["2026-02-26"] == 6
    assert coldest["2026-02-23"] == coldest["2026-02-28"] == 16
    run = [one[0] for pairs in days.values() for one in pairs]
    assert max(abs(after - before) for before, after in pairwise(run)) < 1.3


def test_light_rises_to_noon_and_is_blank_where_not_given(tmp_path: Path) -> None:
    """Light peaks at noon at the figure given, is nought at night, and is left blank on days without a figure."""
    bright = {**GROUP["climate"][0], "from_days_ago": 1, "light_lux": 20000}
    write_records(GROUP, variant(climate=[bright]), tmp_path)
    light = {row["Time"]: row["Light (lux)"] for row in rows_of(tmp_path / "climate" / "sill.csv")}
    assert light["2026-03-01 12:00"] == "20000"
    assert light["2026-03-01 03:00"] == light["2026-03-01 17:00"] == light["2026-03-01 22:00"] == "0"
    assert light["2026-02-25 12:00"] == ""


def test_days_without_segment_are_a_gap(tmp_path: Path) -> None:
    """Between two segments that do not meet nothing is written."""
    older = {**GROUP["climate"][0], "from_days_ago": 20, "to_days_ago": 15}
    write_records(GROUP, variant(climate=[older]), tmp_path)
    assert len(readings(tmp_path)) == 16


def test_care_is_sorted_and_repeats_run_down_to_their_end(tmp_path: Path) -> None:
    """Repeated and single care come out by date, with amount, unit and detail where given."""
    fed = {"days_ago": 4, "action": "feed", "amount": 100, "unit": "ppm N", "detail": "20-20-20"}
    write_records(GROUP, variant(care=[fed]), tmp_path)
    rows = rows_of(tmp_path / "care.csv")
    assert [row["date"] for row in rows] == ["2026-02-20", "2026-02-23", "2026-02-25", "2026-02-26"]
    assert rows[2] == {"date": "2026-02-25", "plant": "P-1", "action": "feed", "amount": "100", "unit": "ppm N",
                       "detail": "20-20-20"}


def test_bench_takes_the_plant_of_the_variant(tmp_path: Path) -> None:
    """What a variant says of the plant goes before what the group says; days become dates."""
    write_records(GROUP, variant(plant={"medium": "inert", "potted_days_ago": 21}), tmp_path)
    plant = read_bench(tmp_path / "bench.yaml").plants["P-1"]
    assert (plant.group, plant.medium, plant.pot_ml, plant.place) == ("phalaenopsis", "inert", 900, "sill")
    assert plant.potted_on == dt.date(2026, 2, 8)


def test_same_input_same_bytes(tmp_path: Path) -> None:
    """Written twice, a variant gives the same three files byte by byte."""
    for name in ("a", "b"):
        write_records(GROUP, variant(), tmp_path / name)
    first, second = ({path.name: path.read_bytes() for path in (tmp_path / name).rglob("*.*")} for name in ("a", "b"))
    assert first == second
    assert len(first) == 3


def test_unknown_and_missing_keys_are_named(tmp_path: Path) -> None:
    """A slip in a group file is told with its file and both the missing and the unknown key."""
    (tmp_path / "slip.yaml").write_text("letter: a\nplaec: {}\n", encoding="utf-8")
    with pytest.raises(ValueError, match=r"slip\.yaml.*'place'.*'plaec'"):
        load_groups(tmp_path)


@pytest.mark.parametrize(("group", "one"), CASES)
def test_variant_is_readable_and_expects_a_known_cause(group: Entry, one: Entry, tmp_path: Path) -> None:
    """Bench and care log are read without a problem, the climate reaches the date, the cause exists."""
    write_records(group, one, tmp_path)
    bench = read_bench(tmp_path / "bench.yaml")
    rows, problems = read_care(tmp_path / "care.csv", "care.csv", bench.plants, group["date"])
    assert rows
    assert problems == []
    assert bench.notes == ()
    last = (tmp_path / "climate" / f"{group['place']['id']}.csv").read_text(encoding="utf-8").splitlines()[-1]
    day_as_stamped = Logger(**group.get("logger", {})).stamp.split("%H")[0].split("%I")[0]
    assert last.startswith(group["date"].strftime(day_as_stamped))
    assert list((ROOT / "knowledge" / "causes").rglob(f"{one['expect']}.yaml"))


def test_variants_of_a_letter_differ_in_what_they_expect() -> None:
    """A group has two to four variants and no two of them expect the same cause; there are at least 24 in all."""
    for group in GROUPS:
        expected = [one["expect"] for one in group["variants"]]
        assert 2 <= len(expected) == len(set(expected)) <= 4, group["name"]
    assert len(CASES) >= 24


def test_groups_of_time_hold_the_same_happenings() -> None:
    """Where a group says that only the time differs, its variants hold the same weather spells and the same actions."""
    timed = [group for group in GROUPS if group.get("differs") == "when"]
    for group in timed:
        assert len({happenings(one) for one in group["variants"]}) == 1, group["name"]
    assert sum(len(group["variants"]) for group in timed) >= 8


def happenings(one: Entry) -> tuple[object, ...]:
    """What happens in a variant, without when: spells with their length, each kind of action once, plant facts."""
    spells = [(spell["from_days_ago"] - spell["to_days_ago"], *undated(spell)) for spell in one.get("climate", [])]
    actions = {undated(care) for care in one.get("care", [])}
    return (*sorted(spells), *sorted(actions), *sorted(one.get("plant", {})))


def undated(entry: Entry) -> tuple[tuple[str, str], ...]:
    """An entry without its days."""
    when = {"from_days_ago", "to_days_ago", "days_ago", "every_days"}
    return tuple(sorted((key, str(value)) for key, value in entry.items() if key not in when))
