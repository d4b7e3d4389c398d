"""A reply as Markdown to edit, and edited Markdown as plain text or a page. Markup of others stays plain text."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterator

from markdown_it import MarkdownIt
from markdown_it.token import Token

from diagnose.screen.harmless import harmless
from diagnose.screen.marking import harmless_lines
from diagnose.screen.page import Markup, page, tag
from diagnose.screen.reply import Part, Reply

__all__ = ["as_markdown", "as_page", "as_text", "escaped"]

_RULES = ("heading", "list", "emphasis", "escape", "newline", "hr")  # no links, pictures, code or raw markup
_SIGNS = re.compile(r"([\\`*_\[\]<>&|~])")
_START = re.compile(r"^(\s*)(#{1,6}|[-+=]|\d{1,9}(?=[.)]))")
WIDTH = 78


def as_markdown(reply: Reply) -> str:
    """The reply as Markdown, to be edited in any editor."""
    return "\n\n".join(block for part in reply.parts for block in _blocks(part)) + "\n"


def _blocks(part: Part) -> Iterator[str]:
    if part.heading:
        yield f"{'#' * part.level} {escaped(part.heading)}"
    if part.form == "text":
        yield from (escaped(line) for line in part.lines)
    else:
        signs = ("-" if part.form == "list" else f"{number}." for number in range(1, len(part.lines) + 1))
        yield "\n".join(f"{sign} {escaped(line)}" for sign, line in zip(signs, part.lines, strict=True))


def escaped(text: str) -> str:
    """Text on one line that Markdown shows as it is: no markup, no raw HTML, no control characters."""
    one_line = _SIGNS.sub(r"\\\1", " ".join(harmless(text).split()))
    return _START.sub(lambda found: f"{found[1]}{found[2][:-1]}\\{found[2][-1]}" if not found[2].isdigit()
                      else f"{found[1]}{found[2]}\\", one_line)


def _parser() -> MarkdownIt:
    return MarkdownIt("zero").enable(list(_RULES))


def as_page(markdown: str, title: str) -> str:
    """Edited Markdown as a self-contained page. HTML, links and pictures in it are shown as the text they are."""
    return page(title, tag("article", Markup(_parser().render(harmless_lines(markdown)))))


def as_text(markdown: str) -> str:
    """Edited Markdown as plain text for a mail, folded to a width that reads well."""
    lines: list[str] = []
    counters: list[int] = []
    lead = ""
    for token in _parser().parse(harmless_lines(markdown)):
        if token.type in ("ordered_list_open", "bullet_list_open"):
            counters.append(int(token.attrGet("start") or 1) if token.type.startswith("ordered") else -1)
        elif token.type in ("ordered_list_close", "bullet_list_close"):
            counters.pop()
        elif token.type == "list_item_open":
            lead = f"{counters[-1]}. " if counters[-1] >= 0 else "- "
            counters[-1] += counters[-1] >= 0
        elif token.type == "hr":
            lines += ["", "-" * 20]
        elif token.type == "inline":
            lines += _shown(token, lead, nested=len(counters))
            lead = ""
        elif token.type == "heading_close":
            lines.append(("=" if token.tag == "h1" else "-") * min(WIDTH, len(lines[-1])))
    return "\n".join(lines).strip() + "\n"


def _shown(token: Token, lead: str, nested: int) -> list[str]:
    """The folded lines of a paragraph, heading or list item, with a blank line before a paragraph."""
    children = token.children or ()
    text = "".join("\n" if child.type in ("softbreak", "hardbreak") else child.content for child in children)
    indent = "  " * max(0, nested - 1)
    first, rest = indent + lead, indent + " " * len(lead or ("  " if nested else ""))
    found: list[str] = [] if lead else [""]
    for line in text.split("\n"):
        found += _folded(line, first, rest)
        first = rest
    return found


def _folded(text: str, first: str, rest: str) -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False) or [""]
