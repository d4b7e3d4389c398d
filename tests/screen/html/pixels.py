"""The pixels of a PNG of eight bits a channel, as a browser writes it. Source: PNG specification, filters 0 to 4."""

from __future__ import annotations

import struct
import zlib
from pathlib import Path

__all__ = ["Row", "rows"]

Row = list[tuple[int, ...]]
SIGNATURE = b"\x89PNG\r\n\x1a\n"
CHANNELS = {2: 3, 6: 4}


def rows(path: Path) -> list[Row]:
    """The rows of a picture from top to bottom, each pixel as red, green, blue. Raises ValueError for other kinds."""
    raw = path.read_bytes()
    if not raw.startswith(SIGNATURE):
        raise ValueError("this is not a PNG file")
    width, height, depth, kind = struct.unpack(">IIBB", raw[16:26])
    if depth != 8 or kind not in CHANNELS:
        raise ValueError(f"depth {depth} and colour type {kind} are not read here")
    step = CHANNELS[kind]
    stride = width * step
    data, before, found = zlib.decompress(_data(raw)), bytearray(stride), []
    for number in range(height):
        at = number * (stride + 1)
        line = _unfiltered(data[at], bytearray(data[at + 1:at + 1 + stride]), before, step)
        found.append([tuple(line[x:x + 3]) for x in range(0, stride, step)])
        before = line
    return found


def _data(raw: bytes) -> bytes:
    parts, at = [], len(SIGNATURE)
    while at < len(raw):
        size, name = struct.unpack(">I4s", raw[at:at + 8])
        parts += [raw[at + 8:at + 8 + size]] if name == b"IDAT" else []
        at += 12 + size
    return b"".join(parts)


def _unfiltered(kind: int, line: bytearray, up: bytearray, step: int) -> bytearray:
    for x in range(len(line) if kind else 0):
        left, corner = (line[x - step], up[x - step]) if x >= step else (0, 0)
        guess = (left, up[x], (left + up[x]) // 2, _paeth(left, up[x], corner))[kind - 1]
        line[x] = (line[x] + guess) & 255
    return line


def _paeth(left: int, up: int, corner: int) -> int:
    middle = left + up - corner
    return min((abs(middle - left), 0, left), (abs(middle - up), 1, up), (abs(middle - corner), 2, corner))[2]
