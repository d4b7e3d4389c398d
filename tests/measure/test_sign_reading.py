"""Floors under how the signs of letters are read and under the answers to the right ones; checks of their file."""

from __future__ import annotations

import json
from typing import Any

import pytest
import yaml

from diagnose.workbench import Workbench
from tests.intake.letters.reading import lexicon, vocabulary
from tests.measure.folds import WAYS, SignPhrase, suspects, with_words, without
from tests.measure.scores import DATA, Labelled, development_letters, summary
from tests.measure.sign_reading import FILE, Reading, answers, oracle, read_all, sign_scores


@pytest.fixture(scope="module")
def bench() -> Workbench:
    """The project's own rule base, opened once."""
    return Workbench.open()


@pytest.fixture(scope="module")
def readings(bench: Workbench) -> list[Reading]:
    """The development letters as read."""
    return read_all(bench, development_letters())


def _entries() -> dict[str, dict[str, Any]]:
    return {entry["letter"]: entry for entry in yaml.safe_load(FILE.read_text(encoding="utf-8"))["letters"]}


def _labels() -> dict[str, tuple[set[str], set[str]]]:
    lines = (DATA / "letters_dev.jsonl").read_text(encoding="utf-8").splitlines()
    return {e["id"]: (set(e["signs"]), set(e["denied"])) for e in map(json.loads, filter(None, lines))}


def test_every_label_is_mapped_once_or_said_to_have_no_sign() -> None:
    """The labels of each letter are those of the letter, under present or absent signs or under no_sign."""
    labels, entries = _labels(), _entries()
    assert entries.keys() == labels.keys()
    for letter, entry in entries.items():
        mapped = {label for key in ("present", "absent") for said in entry.get(key, {}).values() for label in said}
        left = set(entry.get("no_sign", ()))
        assert mapped | left == set.union(*labels[letter]), letter
        assert not mapped & left, letter


def test_right_signs_are_signs_of_the_rule_base(readings: list[Reading], bench: Workbench) -> None:
    """Every sign of the file is known, and none is both present and absent."""
    for reading in readings:
        assert reading.right.told | reading.right.absent <= bench.base.signs.keys()
        assert not reading.right.told & reading.right.absent


def test_sign_reading_has_a_floor(readings: list[Reading], bench: Workbench) -> None:
    """Precision and recall of signs read in growers' letters, retold, with labels by experts (tests/data)."""
    figures = sign_scores(readings, bench.base)
    print(figures)
    assert figures["precision"] >= 0.73
    assert figures["recall"] >= 0.79
    assert figures["denied read as absent"] >= 0.62
    assert figures["denied read as present"] <= 0.04


def test_right_signs_give_better_answers_than_read_ones(readings: list[Reading], bench: Workbench) -> None:
    """Given the labelled signs, the right cause leads in at least 53 of 100 letters, and is among three in 77."""
    figures = summary(bench, answers(bench, oracle(readings)))
    print(figures)
    assert figures["first"] >= 0.53
    assert figures["among three"] >= 0.77


def test_phrase_of_one_letter_alone_is_under_suspicion() -> None:
    """Words that one letter has in a sentence and no other text has are; words that another text has are not."""
    letters = [Labelled("one", "The stalk hangs by a thread. Its leaves are yellow, the crown is black.", ()),
               Labelled("two", "All leaves went yellow.", ())]
    phrases = [SignPhrase("spike_broken", "stalk hang thread", frozenset({"stalk", "hang", "thread"}), frozenset()),
               SignPhrase("leaf_yellow_many", "leaf yellow", frozenset({"leaf", "yellow"}), frozenset()),
               SignPhrase("crown_rotten", "crown black", frozenset({"crown", "black"}), frozenset()),
               SignPhrase("leaf_spots_dark", "leaf thread", frozenset({"leaf", "thread"}), frozenset())]
    found = suspects(phrases, lexicon(), WAYS["by word"], letters, ["A black crown."])
    assert found == {"one": phrases[:1]}


def test_withheld_phrase_is_gone_and_the_others_stay() -> None:
    """The vocabulary lacks just the phrases withheld, each from its own sign."""
    phrase = with_words(vocabulary(), lexicon())[0]
    before = {sign.sign: sign.words for sign in vocabulary().signs}
    after = {sign.sign: sign.words for sign in without(vocabulary(), [phrase]).signs}
    assert {*before[phrase.sign]} - {*after[phrase.sign]} == {phrase.text}
    assert {sign for sign in before if before[sign] != after[sign]} == {phrase.sign}
