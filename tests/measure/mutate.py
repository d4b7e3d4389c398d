"""Damage done to good bytes, as disks, editors, mail programs and ill will do it; the same for the same seed."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from random import Random
from typing import Final

__all__ = ["CANARY", "mutated"]

CANARY: Final = "[bold]zqzq[/bold]"  # markup of the screen library; if it is taken for such, the brackets are gone
_NASTY: Final = [text.encode("utf-8", "surrogatepass") for text in (
    "\x1b[31m", "\x1b]0;title\x07", "\x1b[2J", "\x00", "\x07", "\b", "\x7f", "\x9b31m", "\x85", "\r", "\t",
    "\u202e", "\u200b", "\u2028", "\ufeff", "\ud800", "\U000e0041", "\ue000", "\u0301" * 40, "ﷺ", "\U0001f331",
    CANARY, "[/]", "[/red]", "[link=x]y", "<script>alert(1)</script>", "<img src=x onerror=alert(1)>",
    "</pre></main>", "&lt;b&gt;", "{{x}}", "%s%n", "${HOME}", "$(id)", "../../etc/passwd", "'; --", '"', "'",
    "`", "\\", "\\u0000", "\\e[31m", "=1+1", "&a ", "*a", "!!int ", "!x ", "<<: ", "---\n", "...\n",
    "%YAML 9\n", "? ", "- ", ": ", "#", "|", ">", "{", "}", "[", "]", ",", ";", "\n", "\n\n",
)]
_NUMBERS: Final = [text.encode() for text in (
    "9" * 400, "-" + "9" * 25, "1e308", "1e999", "-1e999", "nan", "-inf", "0x1F", "1_000", "0", "-0", "-1", "1e-320",
    "00000", "1.5", "1,5", "1.5.5", "٣", "²", "½", "0000-00-00", "9999-12-31", "0001-01-01", "2026-02-30", "31/31/2026",
    "99999999999999999999", "2026-03-02T99:99", "1e5000", "+5", "--5", "5%",
)]
_ENCODINGS: Final = ("utf-16", "utf-16-le", "utf-16-be", "utf-8-sig", "cp1252", "latin-1", "utf-32", "cp437", "utf-7")
_NUMBER: Final = re.compile(rb"\d+(?:[.:/-]\d+)*")
_WORD: Final = re.compile(rb"[A-Za-z_]{3,}")
_CELLS: Final = re.compile(rb"[,;\t]")


def mutated(raw: bytes, others: Sequence[bytes], chance: Random) -> bytes:
    """The bytes with one to four kinds of damage; ``others`` are good bytes of the same kind to mix in."""
    for _ in range(chance.choice((1, 1, 1, 2, 2, 3, 4))):
        raw = chance.choice(_WAYS)(raw, chance)
        if chance.random() < 0.04:
            raw = _spliced(raw, chance.choice(others), chance)
    return raw


def _at(raw: bytes, chance: Random) -> int:
    return chance.randint(0, len(raw))


def _stretch(raw: bytes, chance: Random, most: int = 200) -> tuple[int, int]:
    start = _at(raw, chance)
    return start, min(len(raw), start + chance.randint(1, most))


def _put(raw: bytes, at: int, more: bytes) -> bytes:
    return raw[:at] + more + raw[at:]


def _spliced(raw: bytes, other: bytes, chance: Random) -> bytes:
    return raw[:_at(raw, chance)] + other[_at(other, chance):]


def _bits(raw: bytes, chance: Random) -> bytes:
    found = bytearray(raw)
    for _ in range(chance.choice((1, 1, 2, 8)) if found else 0):
        found[chance.randrange(len(found))] ^= 1 << chance.randrange(8)
    return bytes(found)


def _bytes(raw: bytes, chance: Random) -> bytes:
    return _put(raw, _at(raw, chance), chance.randbytes(chance.choice((1, 2, 30))))


def _cut(raw: bytes, chance: Random) -> bytes:
    return raw[:_at(raw, chance)] if chance.random() < 0.7 else raw[_at(raw, chance):]


def _hole(raw: bytes, chance: Random) -> bytes:
    start, end = _stretch(raw, chance)
    return raw[:start] + raw[end:]


def _again(raw: bytes, chance: Random) -> bytes:
    start, end = _stretch(raw, chance)
    return _put(raw, _at(raw, chance), raw[start:end] * chance.choice((1, 1, 2, 50)))


def _lines(raw: bytes, chance: Random) -> bytes:
    lines = raw.splitlines(keepends=True) or [b""]
    at, other = chance.randrange(len(lines)), chance.randrange(len(lines))
    deed = chance.randrange(4)
    if deed == 0:
        del lines[at]
    elif deed == 1:
        lines.insert(other, lines[at] * chance.choice((1, 1, 3, 100)))
    elif deed == 2:
        lines[at], lines[other] = lines[other], lines[at]
    else:
        lines[at] = b" " * chance.choice((1, 2, 3, 8)) + lines[at] if chance.random() < 0.6 else lines[at].lstrip(b" ")
    return b"".join(lines)


def _nasty(raw: bytes, chance: Random) -> bytes:
    for _ in range(chance.choice((1, 1, 2, 6))):
        raw = _put(raw, _at(raw, chance), chance.choice(_NASTY))
    return raw


def _numbers(raw: bytes, chance: Random) -> bytes:
    return _replaced(raw, _NUMBER, chance.choice(_NUMBERS), chance)


def _words(raw: bytes, chance: Random) -> bytes:
    words = _WORD.findall(raw) or [b"x"]
    return _replaced(raw, _WORD, chance.choice((chance.choice(words), chance.choice(_NASTY), b"")), chance)


def _replaced(raw: bytes, what: re.Pattern[bytes], new: bytes, chance: Random) -> bytes:
    found = list(what.finditer(raw))
    if not found:
        return raw + new
    match = chance.choice(found)
    return raw[:match.start()] + new + raw[match.end():]


def _columns(raw: bytes, chance: Random) -> bytes:
    """Two columns of a table swapped, in all lines or in one; elsewhere, two parts of a line."""
    lines = raw.split(b"\n")
    mark = chance.choice(_CELLS.findall(raw) or [b" "])
    first, second, only = chance.randrange(6), chance.randrange(6), chance.randrange(len(lines))
    everywhere = chance.random() < 0.6
    for at, line in enumerate(lines):
        cells = line.split(mark)
        if max(first, second) < len(cells) and (everywhere or at == only):
            cells[first], cells[second] = cells[second], cells[first]
            lines[at] = mark.join(cells)
    return b"\n".join(lines)


def _encoded(raw: bytes, chance: Random) -> bytes:
    return raw.decode("utf-8", "replace").encode(chance.choice(_ENCODINGS), "replace")


def _ends(raw: bytes, chance: Random) -> bytes:
    return raw.replace(b"\n", chance.choice((b"\r\n", b"\r", b"\n\r", b"\n\n", b" ", b"\xc2\x85", b"\x0c")))


def _deep(raw: bytes, chance: Random) -> bytes:
    opening = chance.choice((b"[", b"{a: ", b"- ", b"? ", b"[{", b"((", b'{"a":', b"<b>", b"> ", b"\n " * 3))
    return _put(raw, _at(raw, chance), opening * chance.choice((3, 50, 2000)))


def _bomb(raw: bytes, chance: Random) -> bytes:
    rows = [b"a0: &a0 [x, x]"] + [b"a%d: &a%d [*a%d, *a%d]" % (n, n, n - 1, n - 1) for n in range(1, 30)]
    return _put(raw, chance.choice((0, len(raw))), b"\n" + b"\n".join(rows) + b"\n")


def _long(raw: bytes, chance: Random) -> bytes:
    piece = chance.choice((b"a", b"9", b" ", b"leaf ", b"\xc3\xa9", b",", b"\n", b"yellow leaves and no roots. "))
    return _put(raw, _at(raw, chance), piece * (chance.choice((100, 3000)) // len(piece)))


_WAYS: Final[Sequence[Callable[[bytes, Random], bytes]]] = (
    _bits, _bits, _bytes, _cut, _hole, _again, _lines, _lines, _lines, _nasty, _nasty, _nasty, _numbers, _numbers,
    _words, _words, _columns, _encoded, _ends, _deep, _bomb, _long)
