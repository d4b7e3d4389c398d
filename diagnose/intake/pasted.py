"""Letters as they come, mails, text files or one long paste, made ready to become case files."""

from __future__ import annotations

import datetime as dt
import io
import itertools
import re
from collections.abc import Collection, Iterator
from email.utils import parsedate_to_datetime
from pathlib import Path

from diagnose.frozen import frozen
from diagnose.intake.case_files import shown_as
from diagnose.intake.letter_files import MOST_LETTER, decode_letter, read_letter
from diagnose.intake.mails import read_mail
from diagnose.intake.personal import Clearer
from diagnose.model.days import day_of, possible_day
from diagnose.model.desk import PastedRules
from diagnose.problems import InputError, Where
from diagnose.raw_files import files_under

__all__ = ["MOST_PASTE", "Pasted", "PastedReader"]

KINDS = (".txt", ".md", ".eml")
MOST_PASTE = 1_000_000
_QUOTED = re.compile(r"^\s*>|^On .{4,200} wrote:\s*$|^-+ ?Original Message ?-+\s*$", re.IGNORECASE)
_ADDRESS = re.compile(r"<[^<>]*+>|(?<![^\s<>,;])[^\s<>,;@]*+@[^\s<>,;]*+")
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
        paths, problems = files_under(place)
        yield from (InputError([problem]) for problem in problems)
        for path in paths:
            if path.suffix.lower() in KINDS and path.is_file() and not path.is_symlink():
                yield from self._file(path, shown_as(path, place), alone=False)

    def paste(self, raw: bytes, name: str) -> Iterator[Pasted | InputError]:
        """The letters of one paste."""
        try:
            yield from self._letters(decode_letter(io.BytesIO(raw), name, MOST_PASTE), name)
        except InputError as error:
            yield error

    def _file(self, path: Path, name: str, *, alone: bool) -> Iterator[Pasted | InputError]:
        try:
            if path.suffix.lower() == ".eml":
                yield self._mail(path, name)
            elif alone:
                yield from self._letters(read_letter(path, MOST_PASTE), name)
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
        mail = read_mail(path, name)
        notes = (f"{mail.attached} attached files were not stored",) if mail.attached else ()
        return self._made(name, mail.subject, mail.text, mail.sender, _day(mail.told), notes)

    def _made(self, name: str, subject: str, text: str, sender: str, received: dt.date | None,
              notes: tuple[str, ...] = ()) -> Pasted:
        lines = []
        for line in text.replace("\r\n", "\n").split("\n"):
            if re.match(r"^\s*-+ ?Original Message", line, re.IGNORECASE):
                break
            if not _QUOTED.search(line):
                lines.append(line)
        cleared = self._clearer.clear("\n".join([*([subject, ""] if subject else []), *lines]), [_names(sender)])
        if not cleared.text:
            raise InputError.one(Where(name), "empty-letter", "There is no letter in this.")
        if len(cleared.text) > MOST_LETTER:
            words = f"This letter is longer than {MOST_LETTER:,} characters."
            raise InputError.one(Where(name), "letter-too-long", words, "Keep the part that describes the plant.")
        left_out = [f"{kind} {count}" for kind, count in cleared.left_out.items()]
        left_out += ["head of the mail"] if sender else []
        return Pasted(name, cleared.text, received, sender.lower(), tuple(left_out), cleared.doubtful, notes)


def _day(text: str) -> dt.date | None:
    """The day of a mail's date or of one written 2026-03-02."""
    found = _DATE.search(text)
    try:
        return day_of(found[1]) if found else possible_day(parsedate_to_datetime(text).date()) if text else None
    except (ValueError, TypeError, IndexError, OverflowError):
        return None


def _names(sender: str) -> str:
    """The names in the head of a mail: what stands beside the addresses, or before their @ where nothing does."""
    return _ADDRESS.sub(" ", sender).strip(" ,;") or " ".join(re.findall(r"(?<![^\s<>,;])[^\s<>,;@]++(?=@)", sender))
