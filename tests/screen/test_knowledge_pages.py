"""The pages of the rule base: everything has one, and a cause fits on a screen."""

from __future__ import annotations

import io
import re
from pathlib import Path
from statistics import median

import pytest
from rich.console import Console

from diagnose.problems import InputError
from diagnose.screen.knowledge import check, new_cause
from diagnose.screen.knowledge_pages import page
from tests.knowledge.planted import plant
from tests.own import own_base
from tests.small import small_base, small_folder

MOST_LINES, USUAL_LINES = 120, 60


def _shown(name: str, *, own: bool = True) -> str:
    screen = io.StringIO()
    found = page(own_base() if own else small_base(), name)
    assert found is not None
    Console(file=screen, width=100, highlight=False, markup=False, emoji=False).print(found)
    return screen.getvalue()


def test_a_cause_fits_on_a_screen() -> None:
    """Half of the causes take 60 lines of 100 columns or fewer, none more than 120."""
    lines = [_shown(cause).count("\n") for cause in own_base().causes]
    assert median(lines) <= USUAL_LINES
    assert max(lines) <= MOST_LINES


def test_everything_has_a_page_with_its_id() -> None:
    """Signs, conditions, groups, cautions, sources and rules."""
    base = own_base()
    rules = [rule.rule for cause in base.causes.values() for rule in cause.rules[:1]]
    for name in (*base.signs, *base.conditions, *base.groups, *base.cautions, *base.sources, *rules):
        assert name in _shown(name)


def test_nothing_has_no_page() -> None:
    """Neither an unknown id nor a rule that a cause does not have."""
    assert page(own_base(), "no such thing") is None
    assert page(own_base(), "scale/shows/999") is None


def test_every_part_of_a_cause_is_on_its_page() -> None:
    """Signs, look-alikes, checks, advice and the sources by number; figures stand as dots."""
    text = " ".join(_shown("jar_too_dry", own=False).split())
    for part in ("often: Brown tips [1]; Limp moss [1]", "rarely: Slimy moss (where trait thin leaves and the air in",
                 "strongly for: the air in the jar is dry [1]", "a little against: misted every day [cp]",
                 "rules it out: relative humidity mean over 30 days above 98 % [1]",
                 "Moss mites: Threads speak for mites.",
                 "now: Mist until the air stands above … percent; it stands at … percent. [1]", "glass_edges",
                 "1 JAR_BOOK: Mosses in jars (invented). Invented Press, 2001."):
        assert part in text


def test_a_rule_shows_its_reason_and_where_it_is_written() -> None:
    """Kind of rule, context, reason, source and line."""
    text = " ".join(_shown("jar_too_dry/shows/3", own=False).split())
    assert "rarely: Slimy moss Where trait thin leaves" in text
    assert "Why Thin leaves that dried and were drowned turn to slime. Sources common practice" in text
    assert "Written in small_base/causes/climate/jar_too_dry.yaml:24:5" in text


@pytest.mark.parametrize("group", ["phalaenopsis", "unknown"])
def test_a_group_shows_its_needs(group: str) -> None:
    """Every need that it has, with its sources."""
    shown = set(re.findall(r"^(?:Needs)? +([a-z_]+): ", _shown(group), re.MULTILINE))
    assert shown == {need for need in own_base().terms.needs if need in own_base().groups[group].needs}


def test_the_check_tells_on_whose_word_the_rule_base_rests(capsys: pytest.CaptureFixture[str]) -> None:
    """Claims by the strongest kind of source (counted by hand), causes without authority, then all that is there."""
    check(small_folder())
    shown = capsys.readouterr().out.replace(f"{small_folder()}", "small_base")
    assert shown.splitlines() == [
        "29 claims by the strongest source of each: published authority 21 (72%), trade 0 (0%), question and answer 0 "
        "(0%), common practice 8 (28%)",
        "No published authority for any sign of: none",
        "small_base: 3 causes, 7 signs, 2 conditions, 2 groups, 24 rules, 2 sources: nothing to mend.",
    ]


def test_the_check_raises_what_it_finds(tmp_path: Path) -> None:
    """Findings of the checks and examples that fail come out together."""
    mite = "causes/pests/moss_mite.yaml"
    base = plant([{"file": mite, "old": "why: Cast skins look like grit.", "new": "why: n/a"},
                  {"file": mite, "old": "signs: [web_fine, moss_brown]", "new": "signs: [moss_limp]"}], tmp_path)
    with pytest.raises(InputError) as found:
        check(base)
    assert [problem.code for problem in found.value.problems] == ["filler-text", "example-fails"]


def test_a_new_cause_says_what_comes_next(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The file that was written, and the command that names what is still open."""
    base = plant([], tmp_path)
    new_cause("jar_too_hot", "climate", base)
    path = base / "causes" / "climate" / "jar_too_hot.yaml"
    assert path.is_file()
    assert capsys.readouterr().out == f"{path}\nFill it in, then run: diagnose knowledge check {base}\n"
