"""Mail is taken off the words of its writer, and every character keeps its place."""

from __future__ import annotations

from diagnose.intake.letters.clean import clean_letter


def test_plain_text_is_left_alone() -> None:
    """A plain letter is read as it stands."""
    assert clean_letter("Leaves limp.\nRoots brown.").text == "Leaves limp.\nRoots brown."


def test_tags_and_entities_go() -> None:
    """Paragraph tags part sentences, other tags vanish, entities become characters."""
    assert clean_letter("<p>Leaves <b>limp</b></p>roots &amp; bulbs").text.split("\n\n") == [
        "", "Leaves limp", "roots & bulbs"]


def test_less_than_is_no_tag() -> None:
    """A lone "<" is kept."""
    assert clean_letter("spots < 3 mm, humidity <40% & falling").text == "spots < 3 mm, humidity <40% & falling"


def test_scripts_and_styles_go_with_their_content() -> None:
    """What stands in a style sheet is not of the letter."""
    assert clean_letter("<style>p {color: red}</style>limp").text == "limp"


def test_quoted_mail_and_signature_go() -> None:
    """Quoted lines, the line that leads them in, and the signature are not the writer's words."""
    mail = "Buds drop.\nOn Monday, M-12 wrote:\n> leaves limp?\n-- \nclub of limp leaves"
    assert clean_letter(mail).text.split() == ["Buds", "drop."]


def test_letter_of_quoted_lines_only_is_read() -> None:
    """A forwarded letter that is all quotation is read without its marks."""
    assert clean_letter("> leaves limp\n> roots brown").text == "leaves limp\nroots brown"


def test_control_characters_vanish() -> None:
    """Unseen characters do not split words."""
    assert clean_letter("le\u200baves\x00 li\ufeffmp").text == "leaves limp"


def test_places_point_into_the_letter() -> None:
    """A stretch of the cleaned text is found again in the letter as it came."""
    letter = "<p>Hello</p>\x07 the &quot;leaves&quot; are <i>limp</i>"
    clean = clean_letter(letter)
    start = clean.text.index("limp")
    begin, end = clean.original(start, start + 4)
    assert letter[begin:end] == "limp"
