"""Stems, slips, sentences and the senses of words."""

from __future__ import annotations

import pytest

from diagnose.intake.letters.slips import corrected, slip_table
from diagnose.intake.letters.stems import plain_words, stem
from diagnose.intake.letters.tokens import sentences_of
from tests.intake.letters.reading import lexicon, view


@pytest.mark.parametrize(("first", "second"), [
    ("wrinkled", "wrinkles"), ("shrivelled", "shrivel"), ("yellowing", "yellow"), ("drying", "dry"),
    ("budding", "buds"), ("brownish", "brown"), ("stickiness", "sticky"), ("mushy", "mush"), ("falls", "falling"),
])
def test_forms_of_a_word_share_a_stem(first: str, second: str) -> None:
    """Regular endings come off."""
    assert stem(first) == stem(second)


@pytest.mark.parametrize(("first", "second"), [("fine", "finish"), ("pale", "pali"), ("bud", "bulb"),
                                               ("spot", "sport")])
def test_other_words_keep_their_own_stem(first: str, second: str) -> None:
    """Words that only look alike stay apart."""
    assert stem(first) != stem(second)


@pytest.mark.parametrize(("token", "words"), [
    ("Don't", ("do", "not")), ("won't", ("will", "not")), ("dont", ("do", "not")), ("leaf's", ("leaf",)),
    ("it's", ("it", "is")), ("they’ve", ("they", "have")), ("can't", ("can", "not")),
])
def test_contractions_are_opened(token: str, words: tuple[str, ...]) -> None:
    """A contraction gives the words it stands for."""
    assert plain_words(token) == words


def test_slip_is_taken_for_a_known_word() -> None:
    """One letter may be wrong, two in a long word; the first must be right."""
    table = slip_table(["mushy", "phalaenopsis", "yellow"], 5)
    memory: dict[str, str] = {}
    assert [corrected(word, table, memory) for word in ("mushey", "phalaepnosis", "yelow", "bushy", "musky")] == [
        "mushy", "phalaenopsis", "yellow", "bushy", "mushy"]


def test_ordinary_words_are_no_slips() -> None:
    """Everyday words near a word of the trade are left as they are."""
    words = ["mouth", "brush", "later", "power", "trial", "metal", "chair"]
    assert view(" ".join(words)).words == words


def test_sentences_end_where_they_should() -> None:
    """Decimals, abbreviations and asides in brackets end nothing; semicolons, list marks and blank lines do."""
    text = "It is approx. 5.5 cm (why? no idea) wide; soft.\n- roots brown\n\nBye"
    found = [" ".join(sentence.words) for sentence in sentences_of(text, {"approx"})]
    assert found == ["it is approx 5.5 cm why no idea wide", "soft", "roots brown", "bye"]


def test_clauses_part_at_but() -> None:
    """A break word begins a new clause."""
    clauses = view("the roots are fine but the leaves are limp").clauses
    assert clauses == [0, 0, 0, 0, 1, 1, 1, 1, 1]


def test_modifier_and_head_make_a_composed_part() -> None:
    """Newest ... leaves are new leaves, although other words stand between."""
    looked_up = view("the newest two leaves")
    assert looked_up.has_concept(3, frozenset({"new_leaf"}))


def test_names_of_groups_have_no_loose_stems() -> None:
    """The short name "onc" is not met in "once"."""
    sense = view("once").senses[0]
    assert sense is None or not any(concept.startswith("group:") for concept in sense.concepts)


def test_every_phrase_can_be_met() -> None:
    """No phrase of the rule base is empty."""
    assert all(phrase.core for phrase in lexicon().phrases.phrases)
