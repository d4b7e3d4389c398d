"""Leaves out of a letter what tells who wrote it: names, addresses, telephone numbers, mail addresses, links.

This is done by rules, so it can miss a name in the middle of a sentence; words that may be one are listed as doubtful.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Collection, Iterable, Mapping

from diagnose.frozen import frozen
from diagnose.model.desk import PastedRules

__all__ = ["Cleared", "Clearer"]

_MAIL = re.compile(r"(?<![\w.+'-])[\w.+'-]++@[\w-]+(?:\.[\w-]+)+")
_LINK = re.compile(r"(?:https?://|www\.)\S+", re.IGNORECASE)
_PHONE = re.compile(r"(?<![\w.,-])(?:\+|00)?\(?\d(?:[ ()/.-]{0,2}\d){6,14}(?![\w-])")
_NOT_PHONE = re.compile(r"\d{1,4}([./-])\d{1,2}\1\d{1,4}(\D.*)?|\d{1,2}-\d{1,2}-\d{1,2}.*")  # dates, feed formulas
_POSTCODE = re.compile(r"\b(?:[A-Z]{2},? \d{5}(?:-\d{4})?|[A-Z]{1,2}\d[A-Z\d]? \d[A-Z]{2})\b")
_NAME = r"[^\W\d_a-zß-öø-ÿ][\w'’-]+"  # a word that begins with a capital
_WORD = re.compile(rf"(?<![\w'’-]){_NAME}")
_GOES_ON = re.compile(r"[\w,;)] ")
_SIGNATURE = re.compile(r"^--\s*$", re.MULTILINE)
MOST_AFTER_CLOSING = 5
MOST_WORDS = 5


@frozen
class Cleared:
    """A letter without its personal parts: what was left out (kind and how often), and words that may be names."""

    text: str
    left_out: Mapping[str, int]
    doubtful: tuple[str, ...]


class Clearer:
    """Clears letters by the rule base's words. ``protected`` are names of plants, in small letters."""

    def __init__(self, rules: PastedRules, protected: Collection[str]) -> None:
        self._keep = {word for name in protected for word in name.lower().split()} | set(rules.not_names)
        self._closings = frozenset(rules.closings)
        closings, greetings, titles, intros, streets, kin = (
            "|".join(sorted(map(re.escape, words), key=len, reverse=True))
            for words in (rules.closings, rules.salutations, rules.titles, rules.introductions, rules.streets,
                          rules.relations))
        self._closing = re.compile(rf"(?i:{closings})[ ,.!-]+((?:{_NAME}[ .]*){{1,3}})[.!]?")
        self._greeting = re.compile(rf"^([ \t]*(?i:{greetings})[ ,]+)((?:(?:and |& )?{_NAME} ?){{1,4}})", re.MULTILINE)
        self._intro = re.compile(rf"(?<!\w)((?i:{intros}|{kin})\s+)((?:{_NAME} ?){{1,3}})")
        self._title = re.compile(rf"\b(?i:{titles})\.? {_NAME}(?: {_NAME})?")
        self._street = re.compile(
            rf"\b\d{{1,5}}[a-z]?,? (?:{_NAME},? ){{1,4}}(?i:{streets})\b\.?"
            rf"|\b{_NAME} ?(?i:{streets})\.? \d{{1,4}}[a-z]?\b"
            rf"|\b[^\W\d_]+(?:straße|strasse|weg|gasse|allee|platz) \d{{1,4}}[a-z]?\b"
            rf"|\b(?i:rue|via|calle) (?:{_NAME} ?){{1,3}},? \d{{1,4}}\b")

    def clear(self, text: str, names: Iterable[str] = ()) -> Cleared:
        """The letter cleared; ``names`` are known from elsewhere, such as the sender's in the head of a mail."""
        found: Counter[str] = Counter()
        for kind, pattern in (("mail address", _MAIL), ("link", _LINK), ("address", self._street),
                              ("address", _POSTCODE)):
            text, count = pattern.subn(f"[{kind}]", text)
            found[kind] += count
        text = self._phones(text, found)
        words = {word for name in names for word in _WORD.findall(name) if self._may_be_name(word)}
        text = self._signed(text, found, words)
        text = self._greeted(text, found, words)
        for word in sorted(words, key=len, reverse=True):
            text, count = re.subn(rf"(?<![\w'’-]){re.escape(word)}(?![\w’-])", "[name]", text)
            found["name"] += count
        text = re.sub(r"\[name\](?:[ .,]*\[name\])+", "[name]", text)
        return Cleared(text.strip(), {kind: count for kind, count in found.items() if count}, self._doubtful(text))

    def _phones(self, text: str, found: Counter[str]) -> str:
        def replaced(match: re.Match[str]) -> str:
            if _NOT_PHONE.fullmatch(match[0]):
                return match[0]
            found["telephone"] += 1
            return "[telephone]"
        return _PHONE.sub(replaced, text)

    def _greeted(self, text: str, found: Counter[str], words: set[str]) -> str:
        """Names after a greeting, "my name is", "my sister" and a title; each is looked for in the rest as well."""
        def replaced(match: re.Match[str]) -> str:
            names = [word for word in _WORD.findall(match[2]) if self._may_be_name(word)]
            words.update(names)
            found["name"] += len(names)
            return match[1] + re.sub("|".join(map(re.escape, names)) or r"(?!)", "[name]", match[2])
        text = self._intro.sub(replaced, self._greeting.sub(replaced, text))
        text, count = self._title.subn("[name]", text)
        found["name"] += count
        return text

    def _signed(self, text: str, found: Counter[str], words: set[str]) -> str:
        """The letter without what stands below its closing words, and without a last line that is a name."""
        text, *below = _SIGNATURE.split(text, maxsplit=1)
        found["signature"] += len(below)
        text = text.rstrip()
        lines = text.split("\n")
        for place in range(max(0, len(lines) - MOST_AFTER_CLOSING - 1), len(lines)):
            bare = lines[place].strip(" \t,.!-").lower()
            below = [line for line in lines[place + 1:] if line.strip()]
            if bare in self._closings and all(len(line.split()) <= MOST_WORDS for line in below):
                self._note(below, found, words)
                return "\n".join(lines[:place + 1]).rstrip()
            same_line = self._closing.fullmatch(lines[place].strip())
            if same_line and self._may_be_name(_WORD.findall(same_line[1])[0]):
                self._note([same_line[1], *below], found, words)
                return "\n".join(lines[:place]).rstrip()
        last = lines[-1].strip(" \t,.!-–—")
        if len(lines) > 1 and re.fullmatch(rf"(?:{_NAME} ?){{1,3}}", last) and all(
                map(self._may_be_name, _WORD.findall(last))):
            self._note([last], found, words)
            return "\n".join(lines[:-1]).rstrip()
        return text

    def _note(self, lines: Iterable[str], found: Counter[str], words: set[str]) -> None:
        for line in lines:
            found["name" if _WORD.search(line) else "signature"] += 1
            words.update(word for word in _WORD.findall(line) if self._may_be_name(word))

    def _may_be_name(self, word: str) -> bool:
        return len(word) > 1 and word.lower() not in self._keep and not word.isupper()

    def _doubtful(self, text: str) -> tuple[str, ...]:
        """Words with a capital in the middle of a sentence that are no known plant, day or month."""
        found = [match[0] for match in _WORD.finditer(text)
                 if self._may_be_name(match[0]) and _GOES_ON.fullmatch(text, max(0, match.start() - 2), match.start())]
        return tuple(dict.fromkeys(found))
