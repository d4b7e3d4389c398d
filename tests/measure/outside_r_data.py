"""Reads the factors of a data frame from an R data file, without R.

Written after "R Internals", section 1.8 (serialization formats); only the kinds of items that such a file holds.
"""

from __future__ import annotations

import bz2
import gzip
import lzma
import struct
from collections.abc import Callable, Mapping
from typing import Any

__all__ = ["read_factors"]

_UNPACK: Mapping[bytes, Callable[[bytes], bytes]] = {
    b"BZh": bz2.decompress, b"\x1f\x8b": gzip.decompress, b"\xfd7zXZ": lzma.decompress,
}
_MISSING = -2 ** 31
_SYMBOL, _PAIRS, _CHARACTERS, _LOGICAL, _INTEGERS, _REALS, _STRINGS, _LIST = 1, 2, 9, 10, 13, 14, 16, 19
_REFERENCE, _NOTHING = 255, 254
_HAS_ATTRIBUTES, _HAS_TAG = 512, 1024


def read_factors(content: bytes, frame: str) -> dict[str, list[str | None]]:
    """The columns of a data frame of factors as texts, None where missing. Raises ValueError for other contents."""
    for head, unpack in _UNPACK.items():
        if content.startswith(head):
            content = unpack(content)
    if content[:7] not in (b"RDX2\nX\n", b"RDX3\nX\n"):
        raise ValueError("not an R data file in the binary form")
    columns, attributes = dict(_Reader(content, 7).read())[frame]
    return {name: _texts(*column) for name, column in zip(attributes["names"][0], columns, strict=True)}


def _texts(codes: tuple[int, ...], attributes: Mapping[str, Any]) -> list[str | None]:
    levels = attributes["levels"][0]
    return [None if code == _MISSING else levels[code - 1] for code in codes]


class _Reader:
    """Walks through serialised items; vectors come out as (values, attributes)."""

    def __init__(self, content: bytes, position: int) -> None:
        self._content, self._position = content, position
        self._symbols: list[str] = []

    def read(self) -> Any:
        """The top item, after the header of versions and, from version 3 on, of the text encoding."""
        version = self._numbers("i", 3)[0]
        if version >= 3:
            self._bytes(self._numbers("i", 1)[0])
        return self._item()

    def _bytes(self, count: int) -> bytes:
        self._position += count
        return self._content[self._position - count:self._position]

    def _numbers(self, code: str, count: int) -> tuple[Any, ...]:
        form = f">{count}{code}"
        return struct.unpack(form, self._bytes(struct.calcsize(form)))

    def _item(self) -> Any:
        flags = self._numbers("i", 1)[0]
        kind = flags & 255
        if kind == _NOTHING:
            return None
        if kind == _REFERENCE:
            return self._symbols[(flags >> 8) - 1]
        if kind == _SYMBOL:
            self._symbols.append(self._item())
            return self._symbols[-1]
        if kind == _CHARACTERS:
            length = self._numbers("i", 1)[0]
            return None if length < 0 else self._bytes(length).decode()
        return self._pairs(flags) if kind == _PAIRS else self._vector(kind, flags)

    def _pairs(self, flags: int) -> list[tuple[Any, Any]]:
        if flags & _HAS_ATTRIBUTES:
            self._item()
        tag = self._item() if flags & _HAS_TAG else None
        head = self._item()
        return [(tag, head), *(self._item() or [])]

    def _vector(self, kind: int, flags: int) -> tuple[tuple[Any, ...], dict[str, Any]]:
        count = self._numbers("i", 1)[0]
        if kind in (_LOGICAL, _INTEGERS, _REALS):
            values = self._numbers("d" if kind == _REALS else "i", count)
        elif kind in (_STRINGS, _LIST):
            values = tuple(self._item() for _ in range(count))
        else:
            raise ValueError(f"an item of kind {kind} is not expected in a data frame")
        return values, dict(self._item()) if flags & _HAS_ATTRIBUTES else {}
