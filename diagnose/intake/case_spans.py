"""Where each top-level value of a YAML file stands, as character positions, so that single values can be replaced."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import yaml

from diagnose.marked_yaml import legible
from diagnose.problems import InputError, Where

__all__ = ["Layout", "Span", "layout_of"]

_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_STARTS = ("MappingStartEvent", "SequenceStartEvent")
_ENDS = ("MappingEndEvent", "SequenceEndEvent")


@dataclass(slots=True)
class Span:
    """A key with its value. ``end`` is where the last character of the value stands, without what follows it.

    ``first_item`` is where the first entry of a list begins; -1 where the value is no list or is empty.
    """

    key: str
    key_start: int
    key_end: int
    start: int
    end: int
    kind: str = "scalar"
    first_item: int = -1

    @property
    def empty(self) -> bool:
        """Whether nothing stands behind the colon."""
        return self.kind == "scalar" and self.start == self.end


@dataclass(slots=True)
class Layout:
    """The top mapping of a file. ``flow`` says that it is written in braces; ``end`` is where it ends."""

    flow: bool = False
    end: int = 0
    closed: bool = False
    spans: dict[str, Span] = field(default_factory=dict)


def layout_of(text: str, name: str) -> Layout:
    """The layout of a text without a byte order mark. Raises InputError if it is no YAML mapping."""
    builder = _Builder()
    try:
        for event in yaml.parse(legible(text), Loader=_LOADER):
            builder.take(type(event).__name__, event)
    except yaml.YAMLError as error:
        raise InputError.one(Where(name), "not-yaml", "This file is no longer valid YAML.") from error
    return builder.layout


class _Builder:
    """Follows the parser's events and notes the values directly below the top mapping."""

    def __init__(self) -> None:
        self.layout = Layout()
        self.depth = 0
        self.key: Any = None
        self.span: Span | None = None

    def take(self, kind: str, event: Any) -> None:
        """Take one event."""
        if kind == "DocumentEndEvent":
            self.layout.closed = bool(event.explicit)
        elif kind in _STARTS:
            self._open(kind, event)
        elif kind in _ENDS:
            self._close(event)
        elif kind == "ScalarEvent":
            self._scalar(event)

    def _open(self, kind: str, event: Any) -> None:
        if self.depth == 0:
            self.layout.flow = bool(event.flow_style)
        elif self.depth == 1 and self.key is not None:
            shape = "mapping" if kind == "MappingStartEvent" else "list"
            self._begin(event, f"{'flow' if event.flow_style else 'block'} {shape}")
        else:
            self._item(event)
        self.depth += 1

    def _close(self, event: Any) -> None:
        self.depth -= 1
        bracket = event.start_mark.index < event.end_mark.index  # the end of a block is no place of its own
        if bracket and self.depth:
            self._extend(event.end_mark.index)
        if self.depth == 1:
            self.key = None
        elif self.depth == 0:
            self.layout.end = event.end_mark.index

    def _scalar(self, event: Any) -> None:
        if self.depth == 1 and self.key is None:
            self.key = event
        elif self.depth == 1:
            self._begin(event, "scalar")
            self.key = None
        else:
            self._item(event)
            self._extend(event.end_mark.index)

    def _begin(self, event: Any, kind: str) -> None:
        key = self.key
        self.span = Span(key.value, key.start_mark.index, key.end_mark.index, event.start_mark.index,
                         event.end_mark.index, kind)
        self.layout.spans[key.value] = self.span

    def _item(self, event: Any) -> None:
        if self.depth == 2 and self.span and self.span.kind.endswith("list") and self.span.first_item < 0:
            self.span.first_item = event.start_mark.index

    def _extend(self, index: int) -> None:
        if self.span:
            self.span.end = max(self.span.end, index)
