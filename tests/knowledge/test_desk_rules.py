"""What the rule base says about the desk is read with every mistake named."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from diagnose.knowledge.desk import read_desk_rules, read_pasted_rules, read_wording
from diagnose.knowledge.folder import load
from diagnose.knowledge.store import default_folder
from diagnose.problems import InputError

BASE = load(default_folder())


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """The files of the desk, to be spoilt."""
    shutil.copy(default_folder() / "triage.yaml", tmp_path)
    shutil.copytree(default_folder() / "wording", tmp_path / "wording")
    return tmp_path


def test_the_rules_as_they_stand() -> None:
    """Everything that can hurt people has a reason; closed cases cost nothing; pests and diseases are watched."""
    rules = read_desk_rules(BASE, default_folder())
    assert all(rules.order.hurts.values())
    assert rules.order.state_share["closed"] == 0.0
    assert rules.outbreak.kinds == ("pest", "disease")


@pytest.mark.parametrize(("old", "new", "words"), [
    ("spreads_times: 2", "spread_times: 2", 'has no part called "spread_times"'),
    ("hurts_times: 2", "hurts_times: many", "is not a number"),
    ("most_chance: 0.05", "most_chance: 5", "must lie between 0 and 1"),
    ("kinds: [pest, disease]", "kinds: [pests]", 'Did you mean "pest"?'),
    ("cause: chemical_injury", "cause: chemical_injry", 'Did you mean "chemical_injury"?'),
    ("closed: 0}", "shut: 0}", '"shut"'),
])
def test_mistakes_are_named_with_their_line(folder: Path, old: str, new: str, words: str) -> None:
    """A wrong key, word, number or id is one message with file and line."""
    path = folder / "triage.yaml"
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")
    with pytest.raises(InputError) as caught:
        read_desk_rules(BASE, folder)
    assert words in str(caught.value)
    line = text[:text.index(old)].count("\n") + 1
    assert f"triage.yaml:{line}" in str(caught.value)


def test_a_text_that_is_missing_is_named(folder: Path) -> None:
    """A reply is never written with a hole in it."""
    with pytest.raises(InputError, match='lacks the part "no_such_text"'):
        read_wording(folder, "reply", ["no_such_text"])


def test_words_for_pasted_letters_are_small() -> None:
    """The words are compared in small letters, so they are kept so."""
    rules = read_pasted_rules(default_folder())
    assert all(word == word.lower() for word in (*rules.closings, *rules.not_names, *rules.streets))
