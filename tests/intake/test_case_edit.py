"""Changing single values of a case file leaves everything else as it was."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnose.intake.case_edit import Append, Put, edited, flow
from diagnose.marked_yaml import Pairs, parse_marked
from diagnose.problems import InputError

WHOLE = """# head
case: 2026-014   # the id, é 😀
letter: |
  Grüße 😀

  two lines
# between
plant: {group: miltoniopsis,
   stage: resting}  # form
state:   new    # how it stands
own_key: {kept: [1, 2]}
outcome:
  cause: scale
  # inside
  on: 2026-01-02   # behind
"""
DEED = {"on": dt.date(2026, 3, 3), "by": "V-2", "did": "take"}


def read(text: str) -> Pairs:
    """The text as a mapping."""
    root = parse_marked(text, "f")
    assert isinstance(root, Pairs)
    return root


def test_only_the_value_changes() -> None:
    """A new state replaces one word; comment, spacing and every other line stay."""
    assert edited(WHOLE, "f", [Put("state", "asked")]) == WHOLE.replace("new    #", "asked    #")


def test_a_new_key_goes_to_the_end() -> None:
    """A key that was not there stands on a last line of its own."""
    assert edited(WHOLE, "f", [Put("taken_by", "V-2")]) == WHOLE + "taken_by: V-2\n"


def test_taking_back_leaves_the_key_empty() -> None:
    """A value that is taken away leaves its comment."""
    assert edited("taken_by: V-2 # until Monday\n", "f", [Put("taken_by", "")]) == "taken_by: # until Monday\n"


def test_comments_of_a_replaced_block_are_kept() -> None:
    """An outcome of several lines becomes one line; the comments in and behind it stay."""
    text = edited(WHOLE, "f", [Put("outcome", {"cause": "dry_air", "result": "better", "on": dt.date(2026, 4, 10)})])
    assert "# inside\noutcome: {cause: dry_air, result: better, on: 2026-04-10}   # behind\n" in text


@pytest.mark.parametrize("text", [
    "case: 1\n", "case: 1", "{case: 1}", "case: 1\nhistory:\n", "case: 1\nhistory: []\n", "---\ncase: 1\n...\n",
    "{case: 1, history: [{a: b}]}\n", "case: 1\nhistory: [{a: b},\n  {c: d}]\n", "  case: 1\n  history:\n  - a: b\n",
    "case: 1\nhistory:\n- {a: b}  # x\n- a: b\n  c: d # y\n# end\nlast: 2", "case: 1\nhistory:\n  - a: |\n      text\n",
    "letter: |+\n  x\n\n", "letter: >-\n  x\n  y",
])
def test_history_grows_by_one_in_every_way_of_writing(text: str) -> None:
    """Whatever the style of the file, the entry is added at the end of the list and nothing else changes."""
    for line_end in ("\n", "\r\n"):
        before = text.replace("\n", line_end)
        after = read(edited(before, "f", [Append("history", DEED), Append("history", DEED)]))
        old = read(before)
        history = list(old.get("history") or [])
        assert after["history"] == [*history, *[{"on": "2026-03-03", "by": "V-2", "did": "take"}] * 2]
        assert {key: value for key, value in after.items() if key != "history"} == {
            key: value for key, value in old.items() if key != "history"}


def test_windows_line_ends_stay() -> None:
    """A file with CR LF gets new lines with CR LF."""
    text = edited(WHOLE.replace("\n", "\r\n"), "f", [Put("taken_by", "V-2"), Append("history", DEED)])
    assert "\n" not in text.replace("\r\n", "")


def test_what_cannot_be_changed_safely_is_refused() -> None:
    """Where an edit would touch something else, nothing is written and the message says what to do."""
    with pytest.raises(InputError, match="line of its own"):
        edited("{case: 1, history: [a, # why\n]}", "f", [Append("history", DEED)])


@given(st.text(max_size=40))
@settings(max_examples=200, deadline=None)
def test_any_text_can_be_written_and_read_back(value: str) -> None:
    """A note of any characters comes back as it was written."""
    text = edited("case: 1\n", "f", [Put("note", {"text": value})]) if _writable(value) else ""
    if text:
        found = read(text)["note"]
        assert isinstance(found, Pairs)
        assert found["text"] == value


def _writable(value: str) -> bool:
    """Surrogates and the signs YAML 1.1 takes for line ends within a word cannot be told apart from blanks."""
    return not any(0xD800 <= ord(char) <= 0xDFFF for char in value)


def test_words_with_a_meaning_are_quoted() -> None:
    """A text that YAML would read as something else is written in quotes."""
    assert flow("no") == '"no"'
    assert flow("a: b # c") == '"a: b # c"'
    assert flow({"on": dt.date(2026, 4, 10)}) == "{on: 2026-04-10}"
