"""Letters as they come, mails, text files or one long paste, made ready to become case files."""

from __future__ import annotations

import datetime as dt
import email
import email.policy
import io
import itertools
import re
from collections.abc import Collection, Iterator
from email.message import EmailMessage
from email.utils import getaddresses, parsedate_to_datetime
from html.parser import HTMLParser
from pathlib import Path

from diagnose.frozen import frozen
from diagnose.intake.case_files import shown_as
from diagnose.intake.letter_files import decode_letter, read_letter
from diagnose.intake.personal import Clearer
from diagnose.model.days import day_of, possible_day
from diagnose.model.desk import PastedRules
from diagnose.problems import InputError, Where

__all__ = ["Pasted", "PastedReader"]

KINDS = (".txt", ".md", ".eml")
MOST_MAIL_BYTES = 30_000_000
_QUOTED = re.compile(r"^\s*>|^On .{4,200} wrote:\s*$|^-+ ?Original Message ?-+\s*$", re.IGNORECASE)
_DATE = re.compile(r"\b(\d{4}-\d{2}-\d{2})\b")


@frozen
class Pasted:
    """A letter without its personal parts. ``sender`` tells letters of one person apart and is never stored.

    ``left_out`` names what was left out and how often; ``doubtful`` are words that may still be names.
    """

    source: str
    letter: str
    received: dt.date | None
    sender: str
    left_out: tuple[str, ...]
    doubtful: tuple[str, ...]
    notes: tuple[str, ...] = ()


class PastedReader:
    """Reads letters from files, folders and pastes, and clears them."""

    def __init__(self, rules: PastedRules, protected: Collection[str]) -> None:
        self._rules = rules
        self._clearer = Clearer(rules, protected)
        signs = "".join(re.escape(sign) for sign in rules.separators if len(sign) == 1)
        starts = "|".join(re.escape(words) for words in rules.separators if len(words) > 1)
        self._parting = re.compile(rf"^[ ]*+(?:([{signs}])(?:[ ]?\1){{2,}}[ ]*|[{signs} ]*+(?:{starts})\b.*)$",
                                   re.IGNORECASE | re.MULTILINE)
        self._header = re.compile(rf"^({'|'.join(map(re.escape, rules.headers))})\s*:\s*(.*)$", re.IGNORECASE)

    def read(self, place: Path) -> Iterator[Pasted | InputError]:
        """Every letter of a file or folder; what cannot be read comes as an error and the rest goes on.

        A file of a folder holds one letter; a file named by itself may be a paste of several.
        """
        if not place.is_dir():
            yield from self._file(place, place.name, alone=True)
            return
        for path in sorted(place.rglob("*")):
            if path.suffix.lower() in KINDS and path.is_file() and not path.is_symlink():
                yield from self._file(path, shown_as(path, place), alone=False)

    def paste(self, raw: bytes, name: str) -> Iterator[Pasted | InputError]:
        """The letters of one paste."""
        try:
            yield from self._letters(decode_letter(io.BytesIO(raw), name), name)
        except InputError as error:
            yield error

    def _file(self, path: Path, name: str, *, alone: bool) -> Iterator[Pasted | InputError]:
        try:
            if path.suffix.lower() == ".eml":
                yield self._mail(path, name)
            elif alone:
                yield from self._letters(read_letter(path), name)
            else:
                yield self._letter(read_letter(path).replace("\r\n", "\n"), name)
        except InputError as error:
            yield error

    def _letters(self, text: str, name: str) -> Iterator[Pasted]:
        parts = [part for part in self._parts(text.replace("\r\n", "\n")) if part.strip()]
        for number, part in enumerate(parts, 1):
            yield self._letter(part, f"{name}, letter {number}" if len(parts) > 1 else name)

    def _parts(self, text: str) -> Iterator[str]:
        """The text cut at its parting lines, and before each head of a mail that begins with its sender."""
        start = 0
        for match in self._parting.finditer(text):
            yield from self._at_heads(text[start:match.start()])
            start = match.end()
        yield from self._at_heads(text[start:])

    def _at_heads(self, text: str) -> Iterator[str]:
        sender = re.compile(r"^(?:from|von)\s*:\s*\S", re.IGNORECASE | re.MULTILINE)
        cuts = [0, *(match.start() for match in sender.finditer(text) if match.start()), len(text)]
        yield from (text[start:stop] for start, stop in itertools.pairwise(cuts))

    def _letter(self, text: str, name: str) -> Pasted:
        heads: dict[str, str] = {}
        lines = text.strip("\n").split("\n")
        while (lines and (found := self._header.match(lines[0].strip()))) or (lines and heads and not lines[0].strip()):
            if found:
                heads[found[1].lower()] = found[2].strip()
            lines = lines[1:]
            if not found:
                break
        sender = heads.get("from") or heads.get("von", "")
        subject = heads.get("subject") or heads.get("betreff", "")
        told = heads.get("date") or heads.get("sent") or heads.get("datum") or heads.get("gesendet", "")
        return self._made(name, subject, "\n".join(lines), sender, _day(told))

    def _mail(self, path: Path, name: str) -> Pasted:
        try:
            with path.open("rb") as file:
                raw = file.read(MOST_MAIL_BYTES + 1)
        except OSError as error:
            raise InputError.one(Where(name), "cannot-be-read", "This mail cannot be read.") from error
        if len(raw) > MOST_MAIL_BYTES:
            raise InputError.one(Where(name), "file-too-large", f"This mail is larger than {MOST_MAIL_BYTES:,} bytes.")
        try:
            mail = email.message_from_bytes(raw, policy=email.policy.default)
            text = _body(mail)
            attached = sum(1 for _ in mail.iter_attachments())
            sender, subject, told = (str(mail.get(head, "")) for head in ("From", "Subject", "Date"))
        except (ValueError, LookupError, KeyError, TypeError, AttributeError) as error:
            raise InputError.one(Where(name), "not-a-mail", "This mail cannot be understood.",
                                 "Save its text as a .txt file.") from error
        notes = (f"{attached} attached files were not stored",) if attached else ()
        return self._made(name, subject, text, sender, _day(told), notes)

    def _made(self, name: str, subject: str, text: str, sender: str, received: dt.date | None,
              notes: tuple[str, ...] = ()) -> Pasted:
        lines = []
        for line in text.replace("\r\n", "\n").split("\n"):
            if re.match(r"^\s*-+ ?Original Message", line, re.IGNORECASE):
                break
            if not _QUOTED.search(line):
                lines.append(line)
        names = [display or address.split("@")[0] for display, address in getaddresses([sender])]
        cleared = self._clearer.clear("\n".join([*([subject, ""] if subject else []), *lines]), names)
        if not cleared.text:
            raise InputError.one(Where(name), "empty-letter", "There is no letter in this.")
        left_out = [f"{kind} {count}" for kind, count in cleared.left_out.items()]
        left_out += ["head of the mail"] if sender else []
        return Pasted(name, cleared.text, received, sender.lower(), tuple(left_out), cleared.doubtful, notes)


def _day(text: str) -> dt.date | None:
    """The day of a mail's date or of one written 2026-03-02."""
    found = _DATE.search(text)
    try:
        return day_of(found[1]) if found else possible_day(parsedate_to_datetime(text).date()) if text else None
    except (ValueError, TypeError, IndexError):
        return None


def _body(mail: EmailMessage) -> str:
    part = mail.get_body(("plain", "html"))
    if part is None:
        return ""
    text = str(part.get_content())
    return _text_of(text) if part.get_content_type() == "text/html" else text


class _TextOf(HTMLParser):
    """The text of a page without its markup."""

    BLOCKS = frozenset(("p", "br", "div", "li", "tr", "h1", "h2", "h3", "blockquote"))
    HIDDEN = frozenset(("script", "style", "head", "title"))

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.parts: list[str] = []
        self.hidden = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Count what is not shown, and begin a line where a block begins."""
        self.hidden += tag in self.HIDDEN
        if tag in self.BLOCKS:
            self.parts.append("\n")

    def handle_endtag(self, tag: str) -> None:
        """End what is not shown."""
        self.hidden = max(0, self.hidden - (tag in self.HIDDEN))

    def handle_data(self, data: str) -> None:
        """Keep what is shown."""
        if not self.hidden:
            self.parts.append(data)


def _text_of(markup: str) -> str:
    reader = _TextOf()
    reader.feed(markup)
    reader.close()
    return re.sub(r"\n{3,}", "\n\n", "".join(reader.parts))
