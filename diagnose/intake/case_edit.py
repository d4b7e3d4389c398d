"""Changes single values of a case file and leaves every other character as it was: comments, order, unknown keys.

After each change the new text is read back; if anything else would read differently, the change is refused.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping, Sequence

from diagnose.frozen import frozen
from diagnose.intake.case_spans import Layout, Span, layout_of
from diagnose.marked_yaml import Pairs, legible, parse_marked
from diagnose.problems import InputError, Where

__all__ = ["Append", "Put", "Value", "edited", "flow"]

Value = str | float | dt.date | Mapping[str, "Value"] | Sequence["Value"]
_PLAIN = re.compile(r"[A-Za-z][A-Za-z0-9_ ./+-]*(?<! )|\d{4}-\d{2}-\d{2}(?:T[0-9:]+Z)?|\d{4}-\d{1,6}")
_MEANING = frozenset(("yes", "no", "on", "off", "true", "false", "null", "y", "n"))


@frozen
class Put:
    """Write this value under a top-level key; the empty text leaves the key without a value."""

    key: str
    value: Value


@frozen
class Append:
    """Add an entry at the end of the list under a top-level key."""

    key: str
    value: Value


@frozen
class _Cut:
    """Replace the characters from start to end."""

    start: int
    end: int
    text: str


def edited(text: str, name: str, changes: Sequence[Put | Append]) -> str:
    """The text with the changes made. Raises InputError where one cannot be made without touching something else."""
    waiting = list(changes)
    while waiting:
        keys: dict[str, Put | Append] = {}
        while waiting and waiting[0].key not in keys:
            change = waiting.pop(0)
            keys[change.key] = change
        text = _changed(text, name, list(keys.values()))
    return text


def _changed(text: str, name: str, changes: Sequence[Put | Append]) -> str:
    """The text with changes of different keys made at once."""
    layout = layout_of(text, name)
    line_end = "\r\n" if "\r\n" in text else "\n"
    added = [change for change in changes if change.key not in layout.spans]
    cuts = [(_put if isinstance(change, Put) else _append)(text, layout.flow, layout.spans[change.key],
                                                           flow(change.value), line_end)
            for change in changes if change.key in layout.spans]
    if added:
        cuts.append(_add(text, layout, [_line_of(layout, change, line_end) for change in added], line_end))
    new = text
    for cut in sorted(cuts, key=lambda cut: -cut.start):
        new = new[:cut.start] + cut.text + new[cut.end:]
    _confirm(text, new, name, changes)
    return new


def _line_of(layout: Layout, change: Put | Append, line_end: str) -> str:
    """The key and value of a key that is not there yet."""
    value = flow(change.value)
    if isinstance(change, Append):
        value = f"[{value}]" if layout.flow else f"{line_end}  - {value}"
    return f"{change.key}:{_behind_colon(value or _nothing(layout.flow))}"


def flow(value: Value) -> str:
    """A value on one line of YAML, quoted where it could be misread."""
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{_key(key)}: {flow(item)}" for key, item in value.items()) + "}"
    if isinstance(value, dt.date):
        return value.isoformat()
    if isinstance(value, float):
        return f"{value:.4g}"
    if not isinstance(value, str):
        return "[" + ", ".join(flow(item) for item in value) + "]"
    if not value or (_PLAIN.fullmatch(value) and value.lower() not in _MEANING):
        return value
    return '"' + "".join(map(_escaped, value)) + '"'


def _key(key: str) -> str:
    """A key, plain where that can be: the keys of a case file, such as "on", are written without quotes."""
    return key if _PLAIN.fullmatch(key) else flow(key)


def _escaped(char: str) -> str:
    if char in '"\\':
        return f"\\{char}"
    if char.isprintable():
        return char
    return f"\\u{ord(char):04x}" if ord(char) < 0x10000 else f"\\U{ord(char):08x}"


def _nothing(in_braces: bool) -> str:
    """How a key without a value is written: within braces it needs one."""
    return '""' if in_braces else ""


def _put(text: str, in_braces: bool, span: Span, value: str, line_end: str) -> _Cut:
    value = value or _nothing(in_braces)
    colon = text.index(":", span.key_end)
    if span.empty:
        return _Cut(colon + 1, colon + 1, _behind_colon(value))
    if span.kind.startswith("flow") or (span.kind == "scalar" and text[span.start] not in "|>"):
        return _Cut(span.start, span.end, value) if value else _Cut(colon + 1, span.end, "")
    behind = line_end if text[:span.end].endswith("\n") else ""
    start = _line_start(text, span.key_start)
    kept = re.findall(r"^[ ]*#[^\r\n]*", text[span.start:span.end], re.MULTILINE)
    comments = "".join(comment.strip() + line_end for comment in kept)
    return _Cut(start, span.end, f"{comments}{text[start:colon + 1]}{_behind_colon(value)}{behind}")


def _behind_colon(value: str) -> str:
    return f" {value}" if value and not value.startswith(("\r", "\n")) else value


def _append(text: str, in_braces: bool, span: Span, item: str, line_end: str) -> _Cut:
    if span.empty:
        return _put(text, in_braces, span, f"[{item}]" if in_braces else f"{line_end}  - {item}", line_end)
    if span.kind == "flow list":
        before = text[:span.end - 1].rstrip()
        joint = "" if before.endswith("[") else " " if before.endswith(",") else ", "
        return _Cut(len(before), span.end - 1, f"{joint}{item}")
    start = _line_start(text, span.first_item)
    dash = text.rfind("-", start, span.first_item)
    line = " " * max(0, dash - start) + f"- {item}"
    if text[:span.end].endswith("\n"):
        return _Cut(span.end, span.end, line + line_end)
    stop = _line_stop(text, span.end)
    return _Cut(stop, stop, line_end + line)


def _add(text: str, layout: Layout, lines: Sequence[str], line_end: str) -> _Cut:
    """More keys at the end of the top mapping."""
    if layout.flow:
        before = text[:layout.end - 1].rstrip()
        joint = "" if before.endswith("{") else " " if before.endswith(",") else ", "
        return _Cut(len(before), layout.end - 1, joint + ", ".join(lines))
    first = min(span.key_start for span in layout.spans.values()) if layout.spans else 0
    indent = " " * (first - _line_start(text, first))
    stop = layout.end if layout.closed else len(text)
    gap = "" if not text[:stop] or text[:stop].endswith("\n") else line_end
    return _Cut(stop, stop, gap + "".join(f"{indent}{line}{line_end}" for line in lines))


def _line_start(text: str, position: int) -> int:
    return text.rfind("\n", 0, position) + 1


def _line_stop(text: str, position: int) -> int:
    stop = text.find("\n", position)
    stop = len(text) if stop < 0 else stop
    return stop - 1 if text[:stop].endswith("\r") else stop


def _confirm(before: str, after: str, name: str, changes: Sequence[Put | Append]) -> None:
    """Raise InputError unless the new text reads as the old one with just these changes."""
    expected: dict[str, object] = dict(_tree(before, name))
    for change in changes:
        wanted = parse_marked(f"v: {flow(change.value)}", name)
        value = wanted["v"] if isinstance(wanted, Pairs) else ""
        expected[change.key] = [*_items(expected.get(change.key)), value] if isinstance(change, Append) else value
    try:
        found: dict[str, object] = dict(_tree(after, name))
    except InputError:
        found = {}
    if found != expected:
        keys = ", ".join(change.key for change in changes)
        raise InputError.one(Where(name), "cannot-be-edited", f"This file cannot be changed safely ({keys}).",
                             "Put each key on a line of its own, then try again.")


def _items(value: object) -> list[object]:
    return list(value) if isinstance(value, list) else []


def _tree(text: str, name: str) -> Pairs:
    root = parse_marked(legible(text), name)
    return root if isinstance(root, Pairs) else Pairs(Where(name))
