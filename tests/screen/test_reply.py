"""Replies to members: kind, whole, editable, and harmless whatever a letter holds."""

from __future__ import annotations

import datetime as dt
import functools
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnose.desk.desk import Desk
from diagnose.knowledge.desk import read_wording
from diagnose.model.result import Result
from diagnose.screen.reply import REPLY_TEXTS, Part, Reply, ReplyWriter, leading_causes
from diagnose.screen.reply_forms import as_markdown, as_page, as_text, escaped
from tests.desk.folders import CLUB

TODAY = dt.date(2026, 4, 22)


@functools.cache
def desk() -> Desk:
    """The club's desk."""
    return Desk.open(CLUB, TODAY)


@functools.cache
def result(case: str) -> Result:
    """The full result of a case of the club."""
    return desk().one(case).result


def writer() -> ReplyWriter:
    """A writer with the project's wording."""
    wording = read_wording(desk().judge.opener.knowledge, "reply", REPLY_TEXTS)
    return ReplyWriter(desk().base, desk().judge.rules, wording)


def headings(reply: Reply) -> list[str]:
    """The headings, in order."""
    return [part.heading for part in reply.parts if part.heading]


def test_an_answer_holds_all_it_should() -> None:
    """What it probably is, how sure, a check, what to do and not to do, what to expect, cautions, when to write."""
    found = result("2026-018")
    first = replace(found.causes[0], probability=0.7, grade="likely")
    reply = writer().write("2026-018", replace(found, causes=(first, *found.causes[1:])), TODAY, "V-2")
    assert headings(reply) == [
        "About your plant (case 2026-018)", "What it probably is", "One thing to check", "What to do this week",
        "After that", "Please do not", "What to expect", "It could be mistaken for", "Please take care",
        "When to write again"]
    text = as_text(as_markdown(reply))
    assert "probably this: Mealybugs" in text
    assert "of a hundred plants" in " ".join(text.split())
    assert "(V-2)" in text
    assert reply.look_again == TODAY + dt.timedelta(days=desk().base.causes["mealybug"].look_again_days)


def test_a_doubtful_case_is_asked_back() -> None:
    """One to three questions with how to look, why they matter, and what to do until then."""
    reply = writer().write("2026-013", result("2026-013"), TODAY)
    (asked,) = [part for part in reply.parts if part.form == "steps"]
    assert reply.asks
    assert 1 <= len(asked.lines) <= 3
    assert all("?" in line for line in asked.lines)
    assert "Until then" in headings(reply)
    assert reply.look_again is None


def test_several_problems_come_in_order() -> None:
    """Two causes that both hold are numbered, what can wait least first, and cautions stand once at the end."""
    found = result("2026-018")
    second = replace(next(cause for cause in found.causes if cause.cause != found.causes[0].cause), probability=0.6,
                     grade="likely")
    both = replace(found, causes=(found.causes[0], second), best_explanation=(second.cause, found.causes[0].cause),
                   verdict="decided")
    leading = leading_causes(desk().base, both)
    urgency = desk().base.scales.urgency
    assert len(leading) == 2
    assert urgency[leading[0].urgency] >= urgency[leading[1].urgency] or leading[0].spreads
    names = headings(writer().write("1", both, TODAY))
    assert [name for name in names if name.startswith("Problem")] == [
        f"Problem {number}: {cause.name}" for number, cause in enumerate(leading, 1)]
    assert names.count("Please take care") == 1


def test_people_come_before_the_plant() -> None:
    """Where a cause can hurt people the reply says so, in an answer and in questions."""
    text = as_text(as_markdown(writer().write("2026-024", result("2026-024"), TODAY)))
    assert "Before the plant: A heater or stove" in " ".join(text.split())


def test_every_case_of_the_club_can_be_answered_and_asked() -> None:
    """No case makes a reply fail, or leaves a place unfilled or a cause's id in the text."""
    ids = [cause for cause in desk().base.causes if "_" in cause]
    for path in sorted(CLUB.glob("*.yaml")):
        for ask in (None, True, False):
            reply = writer().write(path.stem, result(path.stem), TODAY, ask=ask)
            text = as_text(as_markdown(reply))
            assert "{" not in text
            assert not [cause for cause in ids if cause in text]
            assert all(part.lines for part in reply.parts)


NASTY = ["<script>alert(1)</script>", "![p](http://e.invalid/p.png)", "[here](javascript:alert(1))", "# head", "- item",
         "1. item", "> quote", "`code`", "*bold* _it_", "a\x1b[31mred\x1b]0;t\x07", "&lt;b&gt;", "<http://e.invalid>",
         "| a | b |", "\\*", "---", "===", "~~~", "10) x", "\u202eabc", "a\nb\n\n# c"]


@pytest.mark.parametrize("text", NASTY)
def test_markup_of_a_letter_stays_text(text: str) -> None:
    """Whatever a letter holds is shown as it is typed, in Markdown, page and text."""
    reply = Reply((Part("", (text,)), Part("", (text, text), "list"), Part(text, (text,), "steps")), False, None)
    markdown = as_markdown(reply)
    page = as_page(markdown, text)
    body = page[page.index("<main>"):]
    for sign in ("<script", "<img", "<a ", "javascript:alert(1)\"", "<b>", "<code", "<em>", "<blockquote", "<table"):
        assert sign not in body
    assert body.count("<li>") == 3
    assert body.count("<h2>") == 1
    for shown in (markdown, page, as_text(markdown)):
        assert not [char for char in shown if ord(char) < 32 and char != "\n"]
        assert "\u202e" not in shown


@given(st.text(max_size=60))
@settings(max_examples=300, deadline=None)
def test_escaped_text_comes_out_as_it_went_in(text: str) -> None:
    """One line of any characters, escaped for Markdown and shown as text, is the same line, blanks folded."""
    from diagnose.screen.harmless import harmless
    line = " ".join(harmless(text).split())
    if line:
        assert " ".join(as_text(escaped(text)).split()) == line


def test_the_wording_is_used_whole() -> None:
    """Every text of the wording is one the program asks for, and each can be said."""
    texts = read_wording(desk().judge.opener.knowledge, "reply", REPLY_TEXTS).texts
    assert set(texts) == set(REPLY_TEXTS)
