"""Mistakes in the speech files are told all at once, each with its place in words."""

from __future__ import annotations

import pytest
import yaml

from diagnose.knowledge.speech import SPEECH_FILES, read_speech
from diagnose.knowledge.store import default_folder
from diagnose.problems import InputError


def files() -> dict[str, object]:
    """The speech files as plain text values."""
    folder = default_folder() / "speech"
    return {name: yaml.load((folder / f"{name}.yaml").read_text(encoding="utf-8"), Loader=yaml.BaseLoader)
            for name in SPEECH_FILES}


def codes(changed: dict[str, object]) -> list[str]:
    """The codes of the mistakes in changed files."""
    with pytest.raises(InputError) as caught:
        read_speech(changed)
    return [problem.code for problem in caught.value.problems]


def test_speech_of_the_project_is_read() -> None:
    """Every file is there and in order."""
    assert read_speech(files()).concepts


def test_missing_and_unknown_files_are_told() -> None:
    """A misnamed file is reported with the one that is missing."""
    changed = files()
    changed["scope"] = changed.pop("scopes")
    assert sorted(codes(changed)) == ["missing-file", "unknown-file"]


def test_mistakes_come_together() -> None:
    """A wrong key, a wrong word and a wrong number in several files are all reported."""
    changed = files()
    changed["plants"] = {"othr": []}
    changed["times"] = {**files()["times"], "old_days": "many"}  # type: ignore[dict-item]
    changed["concepts"] = {"concepts": [{"concept": "leaf", "words": "leaf"}]}
    found = codes(changed)
    assert {"unknown-key", "missing-key", "not-a-number", "not-a-list"} <= set(found)


@pytest.mark.parametrize(("key", "value", "low", "high"), [
    ("old_days", "-1", 0, 3660), ("old_days", "9" * 30, 0, 3660), ("months", [["may", "13"]], 1, 12),
    ("numbers", [["a", "nan"]], -10**6, 10**6), ("numbers", [["a", "1e999"]], -10**6, 10**6),
    ("days", [{"days": "99999", "words": ["once"]}], 0, 3660),
    ("feasts", [{"month": "0", "day": "1", "words": ["may day"]}], 1, 12),
    ("feasts", [{"month": "5", "day": "32", "words": ["may day"]}], 1, 31),
    ("seasons", [{"season": "spring", "month": "0", "words": ["spring"]}], 1, 12)])
def test_numbers_that_cannot_be_meant_are_refused(key: str, value: object, low: int, high: int) -> None:
    """A month there is none of, days beyond the calendar, what is no finite number: each with what is expected."""
    changed = files()
    changed["times"] = {**files()["times"], key: value}  # type: ignore[dict-item]
    with pytest.raises(InputError, match=f"must lie between {low:,} and {high:,}, not"):
        read_speech(changed)


def test_unknown_effect_names_the_known_ones() -> None:
    """A cue of an unknown effect is refused with the words that are allowed."""
    changed = files()
    scopes = dict(changed["scopes"])  # type: ignore[call-overload]
    scopes["cues"] = [{"effect": "abzent", "side": "following", "words": ["no"]}]
    changed["scopes"] = scopes
    with pytest.raises(InputError, match='Did you mean "absent"'):
        read_speech(changed)
