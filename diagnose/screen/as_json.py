"""The result object as JSON text."""

from __future__ import annotations

import dataclasses
import json
from functools import cache
from typing import Any

__all__ = ["fields_of", "json_text"]


def fields_of(value: Any) -> dict[str, Any]:
    """The fields of a frozen value by name; a trailing underscore of a name falls away. Raises TypeError for others."""
    kind: Any = type(value)
    return {shown: getattr(value, name) for name, shown in _names(kind)}


@cache
def _names(kind: Any) -> tuple[tuple[str, str], ...]:
    """The fields of a dataclass, each with the name to show."""
    return tuple((field.name, field.name.rstrip("_")) for field in dataclasses.fields(kind))


def json_text(value: Any) -> str:
    """Frozen values, dictionaries and lists as JSON that any terminal and encoding can take: all but plain ASCII is
    escaped, for texts are others' and may hold control and direction signs. Numbers that are not finite are refused
    (ValueError)."""
    return json.dumps(value, default=fields_of, allow_nan=False).replace("\x7f", "\\u007f")
