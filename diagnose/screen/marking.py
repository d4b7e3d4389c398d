"""A letter cut into pieces, those that were understood with what they were taken for."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Protocol

from diagnose.frozen import frozen
from diagnose.screen.harmless import harmless

__all__ = ["Piece", "Remark", "harmless_lines", "marked"]


class Remark(Protocol):
    """Something understood of a stretch of a letter: a sign with its state, or anything else that has a place."""

    @property
    def start(self) -> int: ...
    @property
    def end(self) -> int: ...
    @property
    def state(self) -> str: ...
    @property
    def name(self) -> str: ...


@frozen
class Piece:
    """Some text of a letter, made harmless; ``state`` is empty where nothing was understood."""

    text: str
    state: str = ""
    signs: tuple[str, ...] = ()


def harmless_lines(text: str) -> str:
    """Text made harmless with its line ends kept."""
    return "\n".join(harmless(line) for line in text.splitlines())


def marked(letter: str, signs: Iterable[Remark]) -> tuple[Piece, ...]:
    """The letter in pieces. Where marks overlap, the one that starts first (and is longer) has the text."""
    spans: dict[tuple[int, int], list[Remark]] = {}
    for sign in signs:
        if 0 <= sign.start < sign.end <= len(letter):
            spans.setdefault((sign.start, sign.end), []).append(sign)
    pieces: list[Piece] = []
    reached = 0
    for (start, end), found in sorted(spans.items(), key=lambda item: (item[0][0], -item[0][1])):
        if start < reached:
            continue
        pieces.append(Piece(_kept(letter[reached:start])))
        names = tuple(dict.fromkeys(sign.name for sign in found))
        pieces.append(Piece(_kept(letter[start:end]), found[0].state, names))
        reached = end
    pieces.append(Piece(_kept(letter[reached:])))
    return tuple(piece for piece in pieces if piece.text)


def _kept(text: str) -> str:
    """Harmless text with the line ends at its edges kept as well."""
    ends = "\n" if text.endswith("\n") and text.strip("\r\n") else ""
    return harmless_lines(text) + ends if text.strip("\r\n") else "\n" * text.count("\n")
