"""Takes mail apart from the words of its writer: tags, entities, quoted history, signatures, control characters.

The cleaned text keeps, for each character, its place in the letter as it came.
"""

from __future__ import annotations

import re
from array import array
from collections.abc import Iterable, Sequence

from diagnose.frozen import frozen

__all__ = ["CleanText", "clean_letter"]

_UNSEEN = r"\u200b-\u200f\u2060-\u2064\ufeff\ud800-\udfff"
_SUSPECT = re.compile(rf"[<&>\x00-\x09\x0b-\x1f\x7f-\x9f\u2028-\u202e{_UNSEEN}]|^-- ?$|^[-_]{{5,}}", re.M)
_MARKUP = re.compile(
    r"(?P<script><(?:script|style|head)\b)"
    r"|(?P<block><(?:/?(?:p|div|li|tr|h[1-6]|table|ul|ol|blockquote)\b[^<>]{0,400}|br ?/?)>)"
    r"|(?P<tag><(?:/?[a-z][a-z0-9]{0,12}(?:\s[^<>]{0,400})?/?|!--.{0,400}?--|!doctype[^<>]{0,100})>)"
    r"|(?P<entity>&(?:#\d{1,7}|#x[0-9a-f]{1,6}|[a-z]{2,8}\d?);)"
    r"|(?P<line>\x0b|\x0c|\x85|\u2028|\u2029|\r\n?)|(?P<blank>\t)"
    rf"|(?P<control>[\x00-\x08\x0e-\x1f\x7f-\x84\x86-\x9f\u202a-\u202e{_UNSEEN}])", re.I)
_CLOSING = re.compile(r"</(?:script|style|head)\s*>", re.I)
_TAIL = re.compile(r"^(?:-- ?|-{3,} ?original message ?-{3,}|_{10,})\s*$", re.I | re.M)
_QUOTED = re.compile(r"^[ \t]*>.*(?:\n|\Z)", re.M)
_WROTE = re.compile(r"^on [^\n]{5,120}(?:\n[^\n]{0,60})?wrote:[ \t]*$\n?", re.I | re.M)
_SENT_FROM = re.compile(r"^sent from my [^\n]{0,40}$", re.I | re.M)


@frozen
class CleanText:
    """The text to be read; ``places`` holds each character's index in the letter, or nothing if they are equal."""

    text: str
    places: Sequence[int] | None = None

    def original(self, start: int, end: int) -> tuple[int, int]:
        """The stretch of the letter for a stretch of the cleaned text that is not empty."""
        if self.places is None:
            return start, end
        return self.places[start], self.places[end - 1] + 1


def clean_letter(letter: str) -> CleanText:
    """The writer's own words. A letter that is nothing but quoted mail is read with its quotation marks taken off."""
    if not _SUSPECT.search(letter):
        return CleanText(letter)
    bare = _edited(CleanText(letter), _markup_edits(letter))
    tail = _TAIL.search(bare.text)
    end = tail.start() if tail and bare.text[: tail.start()].strip() else len(bare.text)
    edits = sorted((m.start(), m.end(), "\n") for pattern in (_QUOTED, _WROTE, _SENT_FROM)
                   for m in pattern.finditer(bare.text, 0, end))
    own = _edited(bare, [*edits, (end, len(bare.text), "")])
    if own.text.strip():
        return own
    return _edited(bare, [(m.start(), m.end(), "") for m in re.finditer(r"^[ \t>]+", bare.text, re.M)])


def _markup_edits(text: str) -> Iterable[tuple[int, int, str]]:
    position = 0
    while found := _MARKUP.search(text, position):
        kind, end = found.lastgroup, found.end()
        if kind == "script":
            closing = _CLOSING.search(text, end)
            end = closing.end() if closing else len(text)
        replacement = {"block": "\n\n", "line": "\n", "blank": " ", "tag": ""}.get(kind or "", "")
        if kind == "entity":
            from html import unescape  # loads a table of all names, and few letters hold one
            replacement = unescape(found.group())
        yield found.start(), end, replacement
        position = end


def _edited(source: CleanText, edits: Iterable[tuple[int, int, str]]) -> CleanText:
    """The text with stretches replaced; a stretch that begins inside an earlier one is passed over."""
    pieces: list[str] = []
    places = array("l")
    position = 0
    for start, end, replacement in edits:
        if start < position:
            continue
        pieces += (source.text[position:start], replacement)
        places.extend(range(position, start))
        places.extend([start] * len(replacement))
        position = end
    pieces.append(source.text[position:])
    places.extend(range(position, len(source.text)))
    if source.places is not None:
        last = len(source.places) - 1
        places = array("l", (source.places[min(place, last)] for place in places))
    return CleanText("".join(pieces), places)
