"""The result object as JSON text."""

from __future__ import annotations

import dataclasses
import json
from functools import cache
from typing import Any

__all__ = ["as_json", "as_plain", "json_text"]


@cache
def _names(kind: Any) -> tuple[tuple[str, str], ...] | None:
    """The fields of a dataclass, each with the name to show; None for what is no dataclass."""
    if not dataclasses.is_dataclass(kind):
        return None
    return tuple((field.name, field.name.rstrip("_")) for field in dataclasses.fields(kind))


def as_plain(value: Any) -> Any:
    """Frozen values as dictionaries and lists; a trailing underscore of a name falls away."""
    if isinstance(value, (tuple, list)):
        return [as_plain(item) for item in value]
    kind: Any = type(value)
    names = _names(kind)
    return value if names is None else {shown: as_plain(getattr(value, name)) for name, shown in names}


def as_json(value: Any, *, indent: int | None = None) -> str:
    """Frozen values as JSON; numbers that are not finite are refused (ValueError)."""
    return json_text(as_plain(value), indent=indent)


def json_text(plain: Any, *, indent: int | None = None) -> str:
    """Dictionaries and lists as JSON that any terminal and encoding can take: all but plain ASCII is escaped, for texts
    are others' and may hold control and direction signs. Numbers that are not finite are refused (ValueError)."""
    return json.dumps(plain, indent=indent, allow_nan=False).replace("\x7f", "\\u007f")
