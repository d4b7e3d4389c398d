"""Self-contained pages: no script, nothing fetched, every text escaped by construction."""

from __future__ import annotations

import html
from collections.abc import Iterable
from pathlib import Path

from diagnose.frozen import frozen
from diagnose.problems import InputError, Where
from diagnose.safe_write import replace_file
from diagnose.screen.marking import harmless_lines

__all__ = ["Markup", "definitions", "joined", "listed", "page", "tag", "write_page"]

_POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'"
_STYLE = """
:root { color-scheme: light dark; --ink: #1c2420; --soft: #5b6660; --line: #ccd5cf; --paper: #fdfdfb; --box: #f1f5f1;
  --mark: #fde9a9; --not: #dfe7f3; --now: #a3261b; --week: #8a5a00; }
@media (prefers-color-scheme: dark) { :root { --ink: #e6ece8; --soft: #a3afa8; --line: #3b4640; --paper: #151a17;
  --box: #1f2622; --mark: #5d4a0c; --not: #2b3a55; --now: #ff8f84; --week: #e8b45c; } }
* { box-sizing: border-box; }
body { margin: 0 auto; max-width: 54rem; padding: 1.2rem; color: var(--ink); background: var(--paper);
  font: 1rem/1.5 system-ui, sans-serif; overflow-wrap: anywhere; }
h1 { font-size: 1.5rem; line-height: 1.2; } h2 { font-size: 1.15rem; margin-top: 1.8rem; } h3 { font-size: 1rem; }
.soft { color: var(--soft); } .letter { white-space: pre-wrap; background: var(--box); padding: .8rem 1rem;
  border-left: .25rem solid var(--line); }
mark { background: var(--mark); color: inherit; } mark.absent { background: var(--not); }
mark.unsure { background: none; border-bottom: 2px dotted currentColor; }
.box { border: 1px solid var(--line); background: var(--box); padding: .6rem 1rem; margin: .8rem 0;
  border-radius: .3rem; }
.today { color: var(--now); font-weight: 700; } .week { color: var(--week); font-weight: 600; }
.wide { overflow-x: auto; } .wide * { overflow-wrap: break-word; } td ul { margin: 0; padding-left: 1rem; }
td:first-child, td b { white-space: nowrap; } table { border-collapse: collapse; width: 100%; }
th, td { text-align: left; vertical-align: top; padding: .35rem .6rem .35rem 0; border-bottom: 1px solid var(--line); }
td.number, th.number { text-align: right; font-variant-numeric: tabular-nums; }
dl { display: grid; grid-template-columns: max-content 1fr; gap: .2rem 1rem; } dt { color: var(--soft); }
dd { margin: 0; }
svg { max-width: 100%; height: auto; } svg text { fill: var(--ink); font: 12px system-ui, sans-serif; }
@media (max-width: 34rem) { dl { grid-template-columns: 1fr; } }
@media print { body { max-width: none; } }
"""


@frozen
class Markup:
    """Markup that was made here. A plain text is never taken for it."""

    text: str


def tag(name: str, *children: Markup | str, **attributes: str) -> Markup:
    """An element; texts within it and its attributes are made harmless and escaped. ``class_`` stands for class."""
    shown = "".join(f' {key.rstrip("_").replace("_", "-")}="{html.escape(harmless_lines(value))}"'
                    for key, value in attributes.items() if value)
    return Markup(f"<{name}{shown}>{joined(children).text}</{name}>")


def joined(children: Iterable[Markup | str]) -> Markup:
    """Several pieces as one."""
    return Markup("".join(child.text if isinstance(child, Markup) else html.escape(_text(child)) for child in children))


def _text(text: str) -> str:
    ends = "\n" if text.endswith("\n") else ""
    return harmless_lines(text) + ends


def listed(lines: Iterable[Markup | str], *, steps: bool = False) -> Markup:
    """A list, numbered where the order counts."""
    return tag("ol" if steps else "ul", *(tag("li", line) for line in lines))


def definitions(pairs: Iterable[tuple[str, Markup | str]]) -> Markup:
    """Names with what they stand for; pairs without a text are left out."""
    return tag("dl", *(part for name, text in pairs if text for part in (tag("dt", name), tag("dd", text))))


def page(title: str, *body: Markup | str, style: str = "") -> str:
    """A whole page; ``style`` is added to that of every page."""
    head = joined([
        Markup('<meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">'),
        Markup(f'<meta http-equiv="Content-Security-Policy" content="{_POLICY}">'),
        Markup('<meta name="referrer" content="no-referrer">'), tag("title", title),
        Markup(f"<style>{_STYLE}{style}</style>")])
    return f'<!doctype html>\n<html lang="en"><head>{head.text}</head>\n<body>{tag("main", *body).text}</body></html>\n'


def write_page(path: Path, text: str) -> None:
    """Write a page in one step: a reader finds the old file or the new one, whole. Raises InputError where it cannot
    be written."""
    if path.exists() and not path.is_file():
        raise InputError.one(Where(str(path)), "cannot-be-written", "This is not a file that can be written over.",
                             "Name a file, such as page.html.")
    replace_file(path, None, text.encode("utf-8"))
