"""Letters become case files without the names, addresses and numbers of those who wrote them. All are invented."""

from __future__ import annotations

from pathlib import Path

import pytest

from diagnose.intake.mails import text_of_page
from diagnose.intake.pasted import Pasted, PastedReader
from diagnose.intake.personal import Clearer
from diagnose.knowledge.desk import read_pasted_rules
from diagnose.knowledge.store import default_folder
from diagnose.problems import InputError

RULES = read_pasted_rules(default_folder())
CLEARER = Clearer(RULES, ["phalaenopsis", "cattleya"])
READER = PastedReader(RULES, ["phalaenopsis", "cattleya"])
MAIL = b"""From: Hanna Quill <hanna.quill@example.invalid>
To: Clinic <clinic@example.invalid>
Subject: My poor phal
Date: Tue, 03 Mar 2026 09:12:00 +0100
Content-Type: text/html; charset=utf-8

<p>Dear Tom,</p><p>the leaves are limp, Hanna's sister says water. <script>evil()</script></p><p>Best wishes,<br>Hanna
Quill</p>
"""


@pytest.mark.parametrize(("text", "gone"), [
    ("Hello,\nleaves limp.\nBest wishes,\nMary Miller\n12 Mill Lane", ("Mary", "Miller", "12 Mill Lane")),
    ("leaves limp\n\nThanks, Otto", ("Otto",)),
    ("leaves limp\nMary Miller", ("Mary", "Miller")),
    ("Dear Tom and Ina,\nleaves limp", ("Tom", "Ina")),
    ("My name is Otto Brandt and the leaves are limp. Ask Otto.", ("Otto", "Brandt")),
    ("My husband Jens says it is the water", ("Jens",)),
    ("Mrs Miller gave it to me, leaves limp", ("Miller",)),
    ("Write to mary.miller+x@example.invalid, leaves limp", ("mary", "example")),
    ("Call +44 (0)7700 900 123 or 555 010 0199, leaves limp", ("7700", "0199")),
    ("I live at 221 Baker Street, leaves limp", ("221", "Baker")),
    ("I live at Rosenweg 12, leaves limp", ("Rosenweg",)),
    ("Springfield, NY 12345, leaves limp", ("12345",)),
    ("see https://example.invalid/mary, leaves limp", ("mary",)),
    ("leaves limp\n-- \nMary\nsecond line", ("Mary", "second")),
])
def test_personal_parts_are_left_out(text: str, gone: tuple[str, ...]) -> None:
    """None of the personal words is left; the trouble told is; and it is said that something was left out."""
    cleared = CLEARER.clear(text)
    assert not [word for word in gone if word in cleared.text]
    assert cleared.left_out
    assert "limp" in cleared.text or "water" in cleared.text


@pytest.mark.parametrize("text", [
    "I feed 20-20-20 at 150 ppm since 2026-01-02, pH 6.0, 18.5 C at night",
    "Hello all,\nmy Phalaenopsis dropped 12 buds in 3 days.",
    "This is Cattleya number 3 in 4 years.", "Repotted on 12/03/2025 and 5.10.2025 with 1000 ml of bark",
    "I AM WORRIED ABOUT MY ORCHID", "It cost 25 at the show in March.",
])
def test_what_matters_for_the_plant_stays(text: str) -> None:
    """Feed, figures, dates, plants and months are no personal parts."""
    cleared = CLEARER.clear(text)
    assert cleared.text == text
    assert not cleared.left_out


def test_words_that_may_be_names_are_listed() -> None:
    """A word with a capital within a sentence that nobody knows is pointed out for a second look."""
    assert CLEARER.clear("The leaves went limp when Ilse watered my Cattleya.").doubtful == ("Ilse",)


def test_a_mail_becomes_a_letter(tmp_path: Path) -> None:
    """Of a mail in HTML its text, subject and day are taken; sender, names and scripts are not."""
    (tmp_path / "a.eml").write_bytes(MAIL)
    (found,) = READER.read(tmp_path)
    assert isinstance(found, Pasted)
    assert str(found.received) == "2026-03-03"
    assert "limp" in found.letter
    assert not [word for word in ("Hanna", "Quill", "Tom", "evil", "<p>", "@") if word in found.letter]


@pytest.mark.parametrize(("head", "day"), [
    (b"Date: Mon, 02 Mar 99999999999999999999 10:00:00 +0000", "None"),
    (b"Date: Mon, 02 Mar 2026 10:00:00 +99999999999999999999", "None"),
    (b"Date: Tue, 03 Mar 2026 09:12:00 +0100", "2026-03-03"), (b"Date: 2199-13-01", "None"), (b"Date:", "None")])
def test_a_day_that_cannot_be_read_leaves_the_letter(tmp_path: Path, head: bytes, day: str) -> None:
    """A mail, and a head in a paste, with any number for its day: the letter is taken in, the day is not known."""
    raw = b"From: Ada <ada@example.invalid>\n" + head + b"\n\nlimp leaves\n"
    (tmp_path / "a.eml").write_bytes(raw)
    for (found,) in (READER.read(tmp_path), READER.paste(raw, "paste")):
        assert isinstance(found, Pasted)
        assert (found.letter, str(found.received)) == ("limp leaves", day)


@pytest.mark.parametrize("sender", [
    b"(" * 3000, b"<", b"<" * 3000, b'"' * 20_000, b"Hanna Quill: (", b"=?utf-8?q?", b"\xff\xfe" * 99, b"a@" * 9000])
def test_a_damaged_sender_leaves_the_letter(tmp_path: Path, sender: bytes) -> None:
    """Brackets without end, an empty address, bytes of no text: the letter is taken in all the same."""
    raw = b"From: " + sender + b"\nSubject: " + sender[:40] + b"\n\nlimp leaves\n"
    (tmp_path / "a.eml").write_bytes(raw)
    for (found,) in (READER.read(tmp_path), READER.paste(raw, "paste")):
        assert isinstance(found, Pasted)
        assert "limp leaves" in found.letter
        assert "Hanna" not in found.letter.partition("limp")[2]
        found.letter.encode()


@pytest.mark.parametrize(("head", "words"), [
    (b"Content-Type: text/plain; charset=no-such-code", "cannot be understood"),
    (b"Content-Type: text/plain; charset=" + b'"' * 20_000, "cannot be understood"),
    (b"X: y\n" + b"Content-Type: text/plain\n" * 300, "more than 200 parts"),
    (b"Content-Type: text/html\n\n" + b"<a " * 400_000, "longer than 1,000,000 characters")])
def test_a_mail_beyond_the_reader_is_named(tmp_path: Path, head: bytes, words: str) -> None:
    """One message with what to do instead, quickly."""
    (tmp_path / "a.eml").write_bytes(b"From: ada@example.invalid\n" + head + b"\n\nlimp leaves\n")
    (found,) = READER.read(tmp_path)
    assert isinstance(found, InputError)
    assert words in str(found)
    assert "Save its text" in str(found)


@pytest.mark.parametrize(("markup", "text"), [
    ("<p>Dear <b>Tom</b>,</p><p>limp &amp; brown<br/>1 < 2", "\nDear Tom,\nlimp & brown\n1 < 2"),
    ("a<script type=x>evil('<p>')</SCRIPT>b<style>p {}</style>c<!-- > -->d<![if x]>e", "abcde"),
    ("<a href='x>y' title=don't>link</a> <head><title>t</title></head>body", "link body"),
    ("limp<!-- never closed", "limp"), ("limp<script>never closed", "limp"), ("limp<a href='never closed", "limp")])
def test_the_text_of_a_page(markup: str, text: str) -> None:
    """What is shown of it; blocks begin lines, and what is never closed hides the rest."""
    assert text_of_page(markup) == text


def test_one_paste_holds_several_letters() -> None:
    """Lines of signs and heads of mails part the letters; letters of one sender are known as such."""
    raw = (b"first letter\nCheers\nMia\n\n-----\nFrom: Ada <ada@example.invalid>\nDate: 2026-02-02\nSubject: spots\n\n"
           b"black spots\n\nFrom: Ada <ada@example.invalid>\nSubject: more\n\nmore spots\n")
    found = [entry for entry in READER.paste(raw, "paste") if isinstance(entry, Pasted)]
    assert [entry.letter.split("\n")[0] for entry in found] == ["first letter", "spots", "more"]
    assert found[1].sender == found[2].sender != found[0].sender
    assert str(found[1].received) == "2026-02-02"


def test_quoted_mail_is_left_out() -> None:
    """What an answer quotes of earlier mails, and who wrote them, is not stored."""
    (found,) = READER.paste(b"leaves limp\n\nOn Monday Mary Miller wrote:\n> my number is 12\n", "paste")
    assert isinstance(found, Pasted)
    assert found.letter == "leaves limp"


def test_what_is_no_letter_is_named_and_the_rest_goes_on(tmp_path: Path) -> None:
    """A broken file comes as an error with its name; the other letters are read."""
    (tmp_path / "a.txt").write_bytes(b"\x00\x01")
    (tmp_path / "b.txt").write_text("limp leaves")
    (tmp_path / "c.md").write_text("\n\n")
    (tmp_path / "d.jpg").write_text("no letter")
    found = list(READER.read(tmp_path))
    assert [isinstance(entry, InputError) for entry in found] == [True, False, True]
    assert "a.txt" in str(found[0])
