"""The question sequence as a grower uses it at a terminal, key by key."""

from __future__ import annotations

import os
import re
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pexpect
import pytest

from diagnose.intake.case_files import parse_case
from tests.screen.commands import ROOT

DAY = ("--date", "2026-03-02")
LIMP = "the leaves are limp and wrinkled"
QUESTION = r"Question (\d) of at most 7"
PROMPT = r"\n> "
ESCAPE = "\x1b"


@contextmanager
def talk(tmp_path: Path, *arguments: str, columns: int = 80, term: str = "dumb") -> Iterator[pexpect.spawn[str]]:
    """``diagnose`` in a pseudo-terminal of its own, with a state folder of its own."""
    environment = {**os.environ, "TERM": term, "XDG_STATE_HOME": str(tmp_path / "state"), "PYTHONPATH": str(ROOT),
                   "OPENBLAS_NUM_THREADS": "1"}
    environment.pop("COLUMNS", None)
    child = pexpect.spawn(sys.executable, ["-m", "diagnose", *arguments], cwd=str(ROOT), env=environment,
                          encoding="utf-8", dimensions=(40, columns), timeout=60, echo=False)
    try:
        yield child
    finally:
        child.close(force=True)


def said(child: pexpect.spawn[str], *typed: str) -> str:
    """What is said from each typed line to the next prompt; the last of it."""
    child.expect([PROMPT, "^> "])
    for line in typed:
        child.sendline(line)
        child.expect([PROMPT, "File name: ", pexpect.EOF])
    return str(child.before).replace("\r", "")


def question_in(text: str, number: int) -> str:
    """The question of this number as it was put."""
    found = re.search(rf"Question {number} of at most 7.*?\n(.*?)\n", text)
    assert found
    return found[1]


def session_of(tmp_path: Path) -> Path:
    """The only file that was kept."""
    (path,) = (tmp_path / "state" / "diagnose").glob("ask-*.yaml")
    return path


def test_free_words_open_it_and_a_question_follows(tmp_path: Path) -> None:
    """What was understood is shown, then how the causes stand, then the first question with its answers."""
    with talk(tmp_path, "ask", *DAY) as child:
        text = said(child, LIMP)
    assert "Understood: Leaves limp; Leaves wrinkled" in text
    assert "So far" in text
    assert re.search(QUESTION, text)
    assert re.search(r"\d\. Don't know", text)


def test_lists_open_it_too(tmp_path: Path) -> None:
    """Enter, then the part, then what is seen there, by number."""
    with talk(tmp_path, "ask", *DAY) as child:
        child.expect(PROMPT)
        child.sendline("")
        child.expect("Where on the plant do you see it\\?")
        text = said(child, "buds")
        assert "What do you see there?" in text
        number = re.search(r"(\d+)\. Buds", text)
        assert number
        child.sendline(number[1])
        child.expect(QUESTION)


def test_words_that_tell_nothing_are_said_to_tell_nothing(tmp_path: Path) -> None:
    """The opening is put again instead of asking at random."""
    with talk(tmp_path, "ask", *DAY) as child:
        assert "No sign of trouble was understood" in said(child, "good morning to all of you")
        child.sendline(LIMP)
        child.expect(QUESTION)


def test_a_bare_start_is_possible(tmp_path: Path) -> None:
    """Nothing is said of what is seen; a question comes all the same."""
    with talk(tmp_path, "ask", *DAY) as child:
        assert re.search(QUESTION, said(child, "skip"))


def test_a_question_mark_explains_the_question_and_how_to_look(tmp_path: Path) -> None:
    """How to look, what each answer means, and which other words work."""
    with talk(tmp_path, "ask", *DAY) as child:
        text = said(child, LIMP, "?")
    assert "How to look:" in text
    assert '"back" undoes' in " ".join(text.split())


def test_why_shows_what_each_answer_would_change(tmp_path: Path) -> None:
    """A cause that would lead and its probability for each answer; the question stays open."""
    with talk(tmp_path, "ask", *DAY) as child:
        text = said(child, LIMP, "why")
        assert len(re.findall(r"would lead with", " ".join(text.split()))) >= 2
        child.sendline("1")
        child.expect(QUESTION)
        assert child.match[1] == "2"


def test_causes_are_shown_moving_as_one_answers(tmp_path: Path) -> None:
    """After an answer the leading causes say from where they moved."""
    with talk(tmp_path, "ask", *DAY) as child:
        text = " ".join(said(child, LIMP, "1").split())
    assert re.search(r"(up|down) from (\d+ %|under 1 %)", text)


def test_back_undoes_the_last_answer(tmp_path: Path) -> None:
    """The same question comes again with the same number."""
    with talk(tmp_path, "ask", *DAY) as child:
        first = said(child, LIMP)
        child.sendline("1")
        child.expect(PROMPT)
        child.sendline("back")
        child.expect(PROMPT)
        again = str(child.before).replace("\r", "")
        child.sendline("back")
        child.expect("What do you see on the plant")
    assert "The last answer is undone." in again
    assert question_in(first, 1) == question_in(again, 1)


@pytest.mark.parametrize("word", ["skip", "don't know"])
def test_skip_costs_nothing(tmp_path: Path, word: str) -> None:
    """The next question still is the first of seven, and another one."""
    with talk(tmp_path, "ask", *DAY) as child:
        first = said(child, LIMP)
        child.sendline(word)
        child.expect(PROMPT)
        second = str(child.before).replace("\r", "")
    assert question_in(first, 1) != question_in(second, 1)


def test_a_wrong_line_is_told_and_the_question_stays(tmp_path: Path) -> None:
    """Neither a guess nor an end."""
    with talk(tmp_path, "ask", *DAY) as child:
        assert "There are" in said(child, LIMP, "77")
        child.sendline("qqq")
        child.expect("No answer begins with")


def test_stop_gives_the_answer_so_far_and_offers_a_case_file(tmp_path: Path) -> None:
    """The card, the check still worth doing, when to look again; the case file reads back as one."""
    path = tmp_path / "2026-031"
    with talk(tmp_path, "ask", *DAY) as child:
        text = " ".join(said(child, LIMP, "1", "stop").split())
        assert "Here is the answer so far." in text
        assert "Still worth checking:" in text
        assert re.search(r"Look again in \d+ days, on 2026-\d\d-\d\d\.", text)
        child.sendline(str(path))
        child.expect("Written: ")
        child.expect(pexpect.EOF)
    case = parse_case(path.with_suffix(".yaml").read_bytes(), "2026-031.yaml")
    assert (case.case, case.letter.strip(), case.problems) == ("2026-031", LIMP, ())
    assert case.answers
    assert not list((tmp_path / "state" / "diagnose").iterdir())


def test_a_case_file_is_never_written_over(tmp_path: Path) -> None:
    """Another name is asked for; Enter leaves it."""
    taken = tmp_path / "taken.yaml"
    taken.write_text("mine", encoding="utf-8")
    with talk(tmp_path, "ask", *DAY) as child:
        said(child, LIMP, "stop")
        child.sendline(str(taken))
        child.expect("Type another name")
        child.sendline("")
        child.expect(pexpect.EOF)
    assert taken.read_text(encoding="utf-8") == "mine"


def test_control_c_leaves_a_file_to_go_on_with(tmp_path: Path) -> None:
    """Its place is said; resumed, the next question is the one that was open, and nothing is asked twice."""
    with talk(tmp_path, "ask", *DAY) as child:
        open_question = said(child, LIMP, "1")
        child.sendintr()
        child.expect("diagnose ask --resume (\\S+)")
        named = Path(child.match[1])
        child.expect(pexpect.EOF)
        child.close()
        assert child.exitstatus == 0
    assert named == session_of(tmp_path)
    assert named.stat().st_mode & 0o077 == 0
    with talk(tmp_path, "ask", "--resume", str(named)) as child:
        child.expect(PROMPT)
        again = str(child.before).replace("\r", "")
        child.sendline("stop")
        child.expect("File name: ")
        child.sendline("")
        child.expect(pexpect.EOF)
    assert question_in(open_question, 2) == question_in(again, 2)
    assert not named.exists()


def test_a_letter_can_start_it(tmp_path: Path) -> None:
    """``letter --ask`` goes on from what the letter says and asks nothing that it tells."""
    letter = tmp_path / "letter.txt"
    letter.write_text("My phalaenopsis has limp, wrinkled leaves. The bark stays wet for two weeks.", encoding="utf-8")
    with talk(tmp_path, "letter", str(letter), "--ask", *DAY) as child:
        child.expect("Understood: ")
        text = said(child)
        assert "What kind of orchid" not in text
        child.sendline("back")
        child.expect(["nothing to undo", "Understood"])


def test_control_c_before_anything_was_said_keeps_nothing(tmp_path: Path) -> None:
    """There is nothing to go on with."""
    with talk(tmp_path, "ask", *DAY) as child:
        child.expect(PROMPT)
        child.sendintr()
        child.expect("nothing to keep")


@pytest.mark.parametrize(("term", "columns"), [("dumb", 80), ("xterm", 80), ("xterm", 60)])
def test_no_line_is_wider_than_the_terminal(tmp_path: Path, term: str, columns: int) -> None:
    """Before the card, no colour and no cursor movement either, on any terminal."""
    with talk(tmp_path, "ask", *DAY, columns=columns, term=term) as child:
        text = said(child, LIMP, "?", "why", "1")
    assert all(len(line) <= columns for line in text.split("\n"))
    assert ESCAPE not in text.replace("\x1b[?2004h", "").replace("\x1b[?2004l", "")


def test_plain_mode_speaks_in_sentences_to_the_end(tmp_path: Path) -> None:
    """No bars, columns or rules anywhere, the card included."""
    with talk(tmp_path, "ask", "--plain", *DAY, term="xterm") as child:
        text = said(child, LIMP, "1", "stop")
    assert "So far: " in text or "Do: " in text
    assert not re.search(r"[─│#]{2}|\.{4}|  ", text.replace("\n   ", "\n"))
    assert ESCAPE not in text
