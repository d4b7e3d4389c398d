"""The outlook command: a page of 80 columns, the JSON of the contract, and plain messages for bad input."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path

import jsonschema
import pytest

from tests.intake.records.folders import write_folder
from tests.screen.commands import ROOT, run
from tests.support.benches import BenchSpec, PlantSpec, write_bench

DATE = dt.date(2026, 3, 2)
DEMO = ("--records", str(ROOT / "cases" / "demo" / "records"), "--date", "2026-02-14")
TEXTS = {"type": "array", "items": {"type": "string", "minLength": 1}}
DAY = {"type": "string", "pattern": r"^\d{4}-\d\d-\d\d$"}


def closed(**properties: object) -> dict[str, object]:
    """An object with these parts and no others."""
    return {"type": "object", "properties": properties, "required": list(properties), "additionalProperties": False}


SCHEMA = closed(date=DAY, plants={"type": "array", "items": closed(
    plant={"type": "string"},
    findings={"type": "array", "items": closed(
        cause={"type": "string"}, probability={"type": "number", "minimum": 0, "maximum": 1},
        urgency={"enum": ["today", "this week", "soon", "none"]}, because=TEXTS, do=TEXTS)},
    season={"type": "array", "items": closed(**{"from": DAY, "to": DAY, "do": {"type": "string"},
                                                "because": {"type": "string"}})})})


def bench(folder: Path, count: int) -> Path:
    """A bench of moth orchids in a dry room."""
    plants = tuple(PlantSpec(f"P-{number:02d}", "phalaenopsis", "sill") for number in range(count))
    return write_bench(folder, BenchSpec(DATE, plants, {"sill": {"humidity_pct": 30, "last_days": 45}}))


def test_json_is_that_of_the_contract() -> None:
    """Standard output is one JSON object of the stated form, with the demo's cold and wet root zone first."""
    done = run("outlook", *DEMO, "--json")
    assert (done.returncode, done.stderr) == (0, "")
    found = json.loads(done.stdout)
    jsonschema.validate(found, SCHEMA)
    assert found["date"] == "2026-02-14"
    assert found["plants"][0]["findings"][0]["cause"] == "cold_wet_root_zone"
    for task in found["plants"][0]["season"]:
        assert found["date"] <= task["from"] <= task["to"]


def test_page_keeps_to_80_columns_and_is_silent_about_what_is_fine(tmp_path: Path) -> None:
    """No line is wider; a plant that is well appears in the season at most."""
    plants = (PlantSpec("P-dry", "phalaenopsis", "sill"), PlantSpec("P-well", "phalaenopsis", "shelf"))
    write_bench(tmp_path, BenchSpec(DATE, plants, {"sill": {"humidity_pct": 30, "last_days": 45}}))
    done = run("outlook", "--records", str(tmp_path), "--date", str(DATE))
    assert done.returncode == 0
    assert max(map(len, done.stdout.splitlines())) <= 80
    findings = done.stdout.split("The next weeks ask for")[0]
    assert "P-dry" in findings
    assert "Air too dry" in findings
    assert "P-well" not in findings


def test_nothing_to_worry_about_is_said(tmp_path: Path) -> None:
    """One sentence where every record is as it should be."""
    write_bench(tmp_path, BenchSpec(DATE, (PlantSpec("P-1", "phalaenopsis", "sill"),)))
    done = run("outlook", "--records", str(tmp_path), "--date", str(DATE))
    assert "nothing in the records gives" in done.stdout


def test_large_bench_tells_how_far_it_is(tmp_path: Path) -> None:
    """From twenty plants on the progress stands on standard error, and most plants are told in a line."""
    done = run("outlook", "--records", str(bench(tmp_path, 24)), "--date", str(DATE))
    assert "reading 24 of 24 plants" in done.stderr
    assert "reasoning 24 of 24 plants" in done.stderr
    assert "The others in short" in done.stdout
    assert json.loads(run("outlook", "--records", str(tmp_path), "--date", str(DATE), "--json").stdout)


def test_one_plant_can_be_asked_for(tmp_path: Path) -> None:
    """Only that plant is shown."""
    done = run("outlook", "--records", str(bench(tmp_path, 3)), "--date", str(DATE), "--plant", "P-02", "--json")
    assert [plant["plant"] for plant in json.loads(done.stdout)["plants"]] == ["P-02"]


@pytest.mark.parametrize(("arguments", "words"), [
    (("--records", "nowhere"), "bench.yaml"),
    (("--records", ".", "--date", "yesterday"), "Write YYYY-MM-DD"),
    ((*DEMO, "--plant", "P-12"), 'Did you mean "P-21"?'),
    (("--date", "2026-03-02"), "--records"),
])
def test_bad_input_is_one_plain_message(arguments: tuple[str, ...], words: str) -> None:
    """Status 2, what was expected, no traceback, nothing on standard output."""
    done = run("outlook", *arguments)
    assert done.returncode == 2
    assert words in done.stderr
    assert "Traceback" not in done.stderr
    assert done.stdout == ""


def test_very_many_bad_rows_do_not_fill_the_screen(tmp_path: Path) -> None:
    """Two hundred are named; the others are counted."""
    write_folder(tmp_path)
    (tmp_path / "care.csv").write_text("date,plant,action\n" + "x,y,z\n" * 5000)
    done = run("outlook", "--records", str(tmp_path), "--date", "2026-03-02")
    assert (done.returncode, done.stdout) == (2, "")
    assert len(done.stderr.splitlines()) == 201
    assert done.stderr.endswith("And 4,800 more.\n")


def test_bad_rows_are_all_named_with_their_lines(tmp_path: Path) -> None:
    """An unknown sign and an unknown plant in the care log, both with file and line."""
    bench(tmp_path, 1)
    with (tmp_path / "care.csv").open("a", encoding="utf-8") as file:
        file.write("2026-02-27,P-77,water,,,\n2026-02-28,P-00,seen,,,leaf_spot_dark\n")
    done = run("outlook", "--records", str(tmp_path), "--date", str(DATE))
    assert done.returncode == 2
    assert "P-77" in done.stderr
    assert "care.csv" in done.stderr
