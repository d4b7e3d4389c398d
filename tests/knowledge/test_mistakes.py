"""Every kind of mistake in the rule base is reported as written down in tests/mistakes, once and in its place."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

import diagnose
from diagnose.knowledge.checks import CHECKS
from diagnose.problems import Problem, Where
from tests.knowledge.planted import FOLDER, Planted, plant, planted, problems_of

PACKAGE = Path(diagnose.__file__).parent
KINDS = ("cause", "sign", "group", "condition", "measure", "habit", "source", "caution")
REPORTING = {"wrong": 1, "one": 1, "Problem": 1}  # calls that report a mistake, and which argument is its code


@pytest.mark.parametrize("mistake", planted(), ids=lambda mistake: mistake.name)
def test_a_planted_mistake_gives_exactly_the_report_written_down(mistake: Planted, tmp_path: Path) -> None:
    """File, line, column, words and hint; nothing else is reported besides."""
    found = problems_of(plant(mistake.changes, tmp_path), mistake.reads)
    shown = [problem for problem in found if not mistake.only or problem.where.file == mistake.only]
    report = "".join(f"{problem}\n" for problem in shown).replace(f"{tmp_path}/", "")
    assert report == mistake.report
    assert mistake.code in {problem.code for problem in shown}


def _codes_of(path: Path) -> Iterator[str]:
    """The codes that a source file reports, read from its calls."""
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if not isinstance(node, ast.Call):
            continue
        name = getattr(node.func, "attr", getattr(node.func, "id", ""))
        code = node.args[REPORTING[name]] if name in REPORTING and len(node.args) > REPORTING[name] else None
        if isinstance(code, ast.Constant):
            yield str(code.value)
        elif isinstance(code, ast.JoinedStr):
            yield from (f"{code.values[0].value}{kind}" for kind in KINDS)  # type: ignore[attr-defined]


# no mistake in a file: tests/screen/test_short_of_disk.py and test_hard_files.py
OF_THE_DISK = {"cannot-be-written", "not-a-file"}


def _all_codes() -> set[str]:
    files = [PACKAGE / "marked_yaml.py", PACKAGE / "raw_files.py", *sorted((PACKAGE / "knowledge").glob("*.py"))]
    return {code for path in files for code in _codes_of(path)} | set(CHECKS)


def test_every_code_of_the_source_has_a_planted_mistake() -> None:
    """A code that nobody has seen at work is not finished; a folder without a code is left over."""
    assert _all_codes() - OF_THE_DISK == {path.name for path in FOLDER.iterdir()}


def test_the_small_rule_base_itself_is_without_fault(tmp_path: Path) -> None:
    """What the mistakes are planted in gives no report at all."""
    assert problems_of(plant([], tmp_path)) == []
    assert problems_of(tmp_path / "small_base", "asking") == []


CLIMATE, PESTS = "causes/climate/jar_too_dry.yaml", "causes/pests/moss_mite.yaml"
WATER, GROUP = "causes/water/jar_too_wet.yaml", "groups/tall_moss.yaml"
TEN = [
    ({"file": CLIMATE, "old": "urgency: this week", "new": "urgency: tomorrow"}, CLIMATE, 8, 10, "unknown-word"),
    ({"file": CLIMATE, "old": "sign: moss_slimy", "new": "sign: moss_slimey"}, CLIMATE, 24, 11, "unknown-sign"),
    ({"file": CLIMATE, "old": "look_again_days: 14", "new": "look_again_days: 9000"}, CLIMATE, 63, 18, "out-of-range"),
    ({"file": PESTS, "old": "story: >", "new": "storey: >"}, PESTS, 5, 1, "unknown-key"),
    ({"file": PESTS, "old": "{condition: mite_weather}", "new": "{condition: weather}"}, PESTS, 27, 24,
     "unknown-condition"),
    ({"file": WATER, "old": "within: 3 days", "new": "within: a while"}, WATER, 35, 13, "no-window"),
    ({"file": "conditions/air.yaml", "old": "need humidity_low_pct", "new": "40"}, "conditions/air.yaml", 5, 66,
     "number-without-unit"),
    ({"file": GROUP, "old": "dry_out: never", "new": "dry_out: often"}, GROUP, 18, 10, "unknown-word"),
    ({"file": "signs/jar.yaml", "old": "effort: lift", "new": "effort: heave"}, "signs/jar.yaml", 16, 13,
     "unknown-word"),
    ({"file": "habits.yaml", "old": "name: Lid left off the jar\n", "new": "name:\n"}, "habits.yaml", 6, 10,
     "empty-text"),
]


def test_ten_mistakes_are_reported_at_once(tmp_path: Path) -> None:
    """Ten mistakes in seven files give ten reports, sorted, each with its file, line and column."""
    found = problems_of(plant([change for change, *_ in TEN], tmp_path))
    expected = sorted((Where(f"small_base/{file}", line, column), code) for _, file, line, column, code in TEN)
    assert [(problem.where, problem.code) for problem in found] == expected


def test_a_broken_file_does_not_hide_the_mistakes_of_others(tmp_path: Path) -> None:
    """With one file unreadable, the rest is still read, and nothing is blamed on the things it would have named."""
    changes = [{"file": PESTS, "end": "\t\n"}, {"file": "habits.yaml", "end": "habits: []\n"}, TEN[0][0], TEN[1][0]]
    found = problems_of(plant(changes, tmp_path))
    assert [problem.code for problem in found] == ["unknown-word", "unknown-sign", "tab", "same-key-twice"]


def test_without_its_words_nothing_else_is_judged(tmp_path: Path) -> None:
    """With terms.yaml unreadable only that is told: no stage or trait of another file is blamed."""
    found = problems_of(plant([{"file": "terms.yaml", "end": "\t\n"}, TEN[0][0]], tmp_path))
    assert [problem.code for problem in found] == ["tab"]


def test_reports_read_as_one_line_each() -> None:
    """Place, words, hint and code, so that editors and people find their way."""
    problem = Problem(Where("a.yaml", 3, 7), "unknown-word", '"x" is no word.', "Known: y.")
    assert str(problem) == 'a.yaml:3:7: "x" is no word. Known: y. [unknown-word]'
    assert str(Problem(Where("a.yaml", 3), "tab", "A tab.")) == "a.yaml:3: A tab. [tab]"
    assert str(Problem(Where("a.yaml"), "tab", "A tab.")) == "a.yaml: A tab. [tab]"
