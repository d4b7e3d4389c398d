"""The skeleton of a cause: nothing can be read until it is filled in, and then it is a cause like any other."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from diagnose.knowledge.blank import write_blank
from diagnose.knowledge.checks import run_checks
from diagnose.knowledge.folder import load
from diagnose.knowledge.words import CAUSE_KEYS, CAUSE_KINDS
from diagnose.problems import InputError
from tests.knowledge.planted import plant

PARENTS = ("shows:", "advice:", "now:", "never:", "examples:")
FILLED = {"name": "Jar too hot", "how_common": "common", "urgency": "today", "spreads": '"no"', "sign": "moss_limp",
          "how_often": "often", "why": "Hot moss folds.", "from": "[JAR_BOOK]", "do": "Move the jar into shade.",
          "do_not": "Do not open the lid in the sun.", "recovers": "Moss that is still green.", "look_again_days": "7",
          "signs": "[moss_limp]"}


@pytest.mark.parametrize("kind", CAUSE_KINDS)
def test_every_open_line_of_a_skeleton_is_named(kind: str, tmp_path: Path) -> None:
    """Reading reports each line that ends after its colon, and nothing else; a second skeleton can be written."""
    base = plant([], tmp_path)
    path = write_blank(base, "jar_too_hot", kind)
    write_blank(base, "jar_too_cold", kind).unlink()
    lines = path.read_text("utf-8").splitlines()
    waiting = [number for number, line in enumerate(lines, 1) if re.fullmatch(r"[ -]*[a-z_]+:( >|  #.*)?", line)]
    parents = {number for number in waiting if lines[number - 1].strip() in PARENTS}
    with pytest.raises(InputError) as found:
        load(base)
    assert [problem.where.line for problem in found.value.problems] == [n for n in waiting if n not in parents]
    assert {problem.code for problem in found.value.problems} == {"empty-text"}


def test_a_skeleton_has_every_part_of_a_cause_in_order(tmp_path: Path) -> None:
    """Its keys are those of the format."""
    text = write_blank(plant([], tmp_path), "jar_too_hot", "climate").read_text("utf-8")
    assert tuple(re.findall(r"^([a-z_]+):", text, re.MULTILINE)) == CAUSE_KEYS


def test_a_filled_skeleton_is_a_cause(tmp_path: Path) -> None:
    """Filled in line by line it can be read, and the checks miss no part that the skeleton could have asked for."""
    base = plant([], tmp_path)
    path = write_blank(base, "jar_too_hot", "climate")
    text = re.sub(r"^([ -]*)([a-z_]+):  #.*$|^([ -]+)(why|sign|do):$",
                  lambda match: f"{match[1] or match[3] or ''}{match[2] or match[4]}: "
                                f"{FILLED[match[2] or match[4]]}", path.read_text("utf-8"), flags=re.MULTILINE)
    text = text.replace("story: >\n\n", "story: >\n  The sun reaches the jar.\n").replace("moss_limp", "moss_slimy", 1)
    path.write_text(text, encoding="utf-8")
    assert load(base).causes["jar_too_hot"].advice[0].text == "Move the jar into shade."
    assert run_checks(load(base)) == []


@pytest.mark.parametrize(("cause", "kind", "code"), [
    ("jar_too_dry", "climate", "cause-exists"), ("jar_too_hot", "weather", "unknown-kind"),
    ("Jar", "climate", "bad-id"), ("../jar", "climate", "bad-id"),
])
def test_what_no_skeleton_is_written_for(cause: str, kind: str, code: str, tmp_path: Path) -> None:
    """Nothing is written where there is a file already, or the id or kind is wrong."""
    base = plant([], tmp_path)
    before = {path: path.read_bytes() for path in sorted(tmp_path.rglob("*")) if path.is_file()}
    with pytest.raises(InputError) as found:
        write_blank(base, cause, kind)
    assert [problem.code for problem in found.value.problems] == [code]
    assert {path: path.read_bytes() for path in sorted(tmp_path.rglob("*")) if path.is_file()} == before
