"""Reads a mail: who sent it, its subject, its day and its text, whatever damage its head has taken."""

from __future__ import annotations

import email
import html
import re
from email.message import EmailMessage
from email.policy import EmailPolicy
from pathlib import Path
from typing import Final

from diagnose.frozen import frozen
from diagnose.problems import InputError, Where
from diagnose.raw_files import read_raw_file

__all__ = ["Mail", "read_mail", "text_of_page"]

MOST_BYTES: Final = 30_000_000  # with its pictures
MOST_TEXT: Final = 1_000_000
MOST_PARTS: Final = 200
MOST_HEAD: Final = 500  # characters of one line of a head; the library's reader takes the square of them
_PART = re.compile(rb"^content-type:", re.IGNORECASE | re.MULTILINE)
# A page, from left to right; what is not closed goes on to the end, so that nothing is gone over twice.
_PIECE = re.compile(
    r"<(?P<hidden>script|style|head|title)\b[^>]*+(?:>(?:(?!</(?P=hidden)\b).)*+(?:</[^>]*+>?)?)?"
    r"|<!--(?:(?!-->).)*+(?:-->)?|<[!?][^>]*+>?"
    r"|</?(?P<tag>[a-z][^\s/>]*+)(?:=\s*+(?:\"[^\"]*+\"|'[^']*+')|[^>])*+>?", re.IGNORECASE | re.DOTALL)
_BLOCKS: Final = frozenset(("p", "br", "div", "li", "tr", "h1", "h2", "h3", "blockquote"))


@frozen
class Mail:
    """What of a mail is wanted. ``told`` is its day as its head has it; ``attached`` counts the files beside the text.

    What the head lacks is empty.
    """

    sender: str
    subject: str
    told: str
    text: str
    attached: int


class _ShortHeads(EmailPolicy):
    """Heads cut to a length that anybody needs."""

    def header_source_parse(self, sourcelines: list[str]) -> tuple[str, str]:
        """The name and what stands behind it."""
        name, value = super().header_source_parse(sourcelines)
        return name, value[:MOST_HEAD]


def read_mail(path: Path, name: str) -> Mail:
    """The mail of a file. Raises InputError if it cannot be read, is too large, or its text is beyond the reader."""
    raw = read_raw_file(path, name, MOST_BYTES)
    if len(_PART.findall(raw)) > MOST_PARTS:
        raise _not_understood(name, f"This mail has more than {MOST_PARTS} parts.")
    try:
        mail = email.message_from_bytes(raw, policy=_ShortHeads())
        assert isinstance(mail, EmailMessage)  # what this policy makes
        body, is_page = _body(mail)
        attached = sum(1 for _ in mail.iter_attachments())
    except Exception as error:  # the library's reader has many ways to fail on a head that is damaged
        raise _not_understood(name, "This mail cannot be understood.") from error
    if len(body) > MOST_TEXT:
        raise _not_understood(name, f"The text of this mail is longer than {MOST_TEXT:,} characters.")
    text = text_of_page(body) if is_page else body
    return Mail(_head(mail, "From"), _head(mail, "Subject"), _as_written(mail, "Date"), text, attached)


def _not_understood(name: str, words: str) -> InputError:
    return InputError.one(Where(name), "not-a-mail", words, "Save its text as a .txt file.")


def _body(mail: EmailMessage) -> tuple[str, bool]:
    """What is meant to be read of a mail, plain where it is there so, and whether it is a page."""
    part = mail.get_body(("plain", "html"))
    return ("", False) if part is None else (str(part.get_content()), part.get_content_type() == "text/html")


def _head(mail: EmailMessage, name: str) -> str:
    """A line of the head in plain characters; as it is written where it is too damaged for that."""
    try:
        return str(mail.get(name, ""))
    except Exception:  # as above; what can be read of a name must still be known, or it would stay in the letter
        return _as_written(mail, name)


def _as_written(mail: EmailMessage, name: str) -> str:
    found = next((str(value) for head, value in mail.raw_items() if head.casefold() == name.casefold()), "")
    return found.encode("utf-8", "replace").decode("utf-8")


def text_of_page(markup: str) -> str:
    """The text of a page without its markup, scripts and styles; a line begins where a block begins."""
    def replaced(found: re.Match[str]) -> str:
        tag = (found["tag"] or "").casefold()
        return "\n" if tag in _BLOCKS and not found[0].startswith("</") else ""

    return re.sub(r"\n{3,}", "\n\n", html.unescape(_PIECE.sub(replaced, markup)))
