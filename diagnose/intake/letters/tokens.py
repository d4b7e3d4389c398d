"""Cuts a letter into sentences of words, with the strength of the separation before each word."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from dataclasses import dataclass, field

from diagnose.intake.letters.stems import plain_words

__all__ = ["CLAUSE", "COMMA", "Sentence", "sentences_of"]

COMMA, CLAUSE = 1, 3
_MOST_WORDS = 70
_SHORT_LINE = 48
_LONGEST_WORD = 40
_LONGEST_ASIDE = 80
_TOKEN = re.compile(
    r"([^\W\d_]+(?:['’`][^\W\d_]+)*)|(\d+(?:[.,]\d+)*)|([.!?…]+|;|\n[ \t]*(?:\n|[-*•·][ \t]))|(\n)"
    r"|(,|[()\[\]/])|(:|[–—]|(?<=\s)-(?=\s)|--)|([%°º&+]|(?<=\d)-(?=\d)|(?<![\w-])[-−](?=\d)|[<>≤≥](?=\s?\d))")
_SYMBOLS = {"&": "and", "+": "plus", "º": "°", "-": "to", "−": "minus", "<": "below", "≤": "below", ">": "above",
            "≥": "above"}


@dataclass(slots=True)
class Sentence:
    """Words in small letters with their places in the cleaned text. ``gaps`` holds the separation before each."""

    words: list[str] = field(default_factory=list)
    starts: list[int] = field(default_factory=list)
    ends: list[int] = field(default_factory=list)
    gaps: list[int] = field(default_factory=list)
    question: bool = False

    def add(self, word: str, start: int, end: int, gap: int) -> None:
        """Append a word."""
        self.words.append(word)
        self.starts.append(start)
        self.ends.append(end)
        self.gaps.append(gap)


def sentences_of(text: str, dotted: Collection[str]) -> Iterator[Sentence]:
    """The sentences of a text. ``dotted`` words are abbreviations whose full stop ends nothing."""
    sentence, gap, line_start, inside = Sentence(), 0, 0, -_LONGEST_ASIDE
    for found in _TOKEN.finditer(text):
        kind, token = found.lastindex, found.group()
        if token == "(" or token == ")":
            inside = found.start() if token == "(" else -_LONGEST_ASIDE
        if kind == 3 and token[0] != "\n" and found.start() - inside < _LONGEST_ASIDE:
            gap = max(gap, COMMA)
        elif kind == 3 or (kind == 4 and found.start() - line_start < _SHORT_LINE):
            line_start = found.end() if token[0] == "\n" else line_start
            if sentence.words and _ends(text, found, sentence, dotted):
                sentence.question = "?" in token
                yield sentence
                sentence, gap = Sentence(), 0
        elif kind == 4:
            line_start = found.end()
        elif kind == 5 or kind == 6:
            gap = max(gap, COMMA if kind == 5 else CLAUSE)
        else:
            if len(sentence.words) >= _MOST_WORDS:
                yield sentence
                sentence = Sentence()
            _add(sentence, found, kind == 1, gap if sentence.words else 0)
            gap = 0
    if sentence.words:
        yield sentence


def _add(sentence: Sentence, found: re.Match[str], is_word: bool, gap: int) -> None:
    token, start, end = found.group()[:_LONGEST_WORD], found.start(), found.end()
    token = "−" if token == "-" and not found.string[max(0, start - 1) : start].isdigit() else token
    words = plain_words(token) if is_word else (_SYMBOLS.get(token, token),)
    for word in words:
        sentence.add(word, start, end, gap)
        gap = 0


def _ends(text: str, found: re.Match[str], sentence: Sentence, dotted: Collection[str]) -> bool:
    """Whether a mark ends the sentence: not the dot of an abbreviation, nor one in the middle of a word."""
    if found.group() != ".":
        return True
    following = text[found.end() : found.end() + 2]
    if following[:1].isalnum():
        return False
    return not (sentence.words[-1] in dotted and following[1:].strip() == following[1:].lower().strip() != "")
