"""knowledge/media.yaml: read with its sources, and each mistake reported with its place."""

from __future__ import annotations

import pytest

from diagnose.knowledge.form import Form
from diagnose.knowledge.media import read_water
from diagnose.knowledge.store import default_folder
from diagnose.marked_yaml import Pairs, parse_marked
from diagnose.model.water import WaterRules
from tests.own import own_base

TEXT = (default_folder() / "media.yaml").read_text(encoding="utf-8")


def read(text: str) -> tuple[WaterRules, list[str]]:
    """The rules of a text and its problems as code and line."""
    root = parse_marked(text, "media.yaml")
    assert isinstance(root, Pairs)
    form = Form({"source": own_base().sources, **own_base().terms.by_kind})
    rules = read_water(form, root)
    return rules, [f"{problem.code}:{problem.where.line}" for problem in form.problems]


def test_the_project_s_own_file_is_right() -> None:
    """The file can be read; every medium may be used up to some share, and moss holds more than bark."""
    rules, problems = read(TEXT)
    assert problems == []
    assert rules.media["sphagnum"].usable_share > rules.media["bark"].usable_share > 0
    assert rules.may_use["never"] < rules.may_use["slightly"] < rules.may_use["between"] < rules.may_use["fully"]
    assert rules.usual_medium == "bark"
    assert "MEDIA_TRIAL" in rules.sources


@pytest.mark.parametrize(("old", "new", "code"), [
    ("medium: bark,", "medium: barkk,", "unknown-word"),
    ("{medium: mounted,", "{medium: soil,", "missing-key"),
    ('holds_share: "0.31"', 'holds_share: "0.05"', "out-of-range"),
    ('holds_share: "0.31"', 'holds_share: "31"', "out-of-range"),
    ("usual_medium: bark", "usual_medium: barkk", "unknown-word"),
    ("fully:", "fuly:", "unknown-key"),
    ("scale_noise_g:", "scale_noise:", "unknown-key"),
    ("resting: ", "asleep: ", "unknown-key"),
    ("[MEDIA_TRIAL]", "[MEDIA_TRAIL]", "unknown-source"),
])
def test_mistakes_are_reported_with_their_line(old: str, new: str, code: str) -> None:
    """A wrong medium, number, name or source is reported with its line; a lacking medium with that of the list."""
    _, problems = read(TEXT.replace(old, new, 1))
    shown = "\nmedia:" if code == "missing-key" else old
    line = TEXT[: TEXT.index(shown) + 1].count("\n") + 1
    assert f"{code}:{line}" in problems
