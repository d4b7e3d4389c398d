"""A headless browser for tests: shows a page and hands back its text and its picture."""

from __future__ import annotations

import shutil
import struct
import subprocess
import zlib
from pathlib import Path

import pytest

__all__ = ["Browser", "colours_in", "size_of"]

NAMES = ("chromium", "chromium-browser")
MOST_S = 120


class Browser:
    """A headless Chromium; a test without one is skipped with the reason."""

    def __init__(self, own_folder: Path) -> None:
        found = next((place for name in NAMES if (place := shutil.which(name))), None)
        if found is None:
            pytest.skip("no Chromium on this machine; the Debian package is called chromium")
        self._command = [found, "--headless=new", "--no-sandbox", "--disable-gpu", "--hide-scrollbars",
                         "--disable-background-networking", f"--user-data-dir={own_folder / 'browser'}"]

    def text(self, page: Path) -> str:
        """The page as the browser understood it."""
        return self._run("--dump-dom", page.as_uri())

    def picture(self, page: Path, width: int, height: int = 1200) -> bytes:
        """A picture of the page (PNG)."""
        target = page.with_suffix(f".{width}.png")
        self._run(f"--window-size={width},{height}", f"--screenshot={target}", page.as_uri())
        return target.read_bytes()

    def _run(self, *arguments: str) -> str:
        done = subprocess.run([*self._command, *arguments], capture_output=True, timeout=MOST_S, check=True)
        return done.stdout.decode("utf-8", "replace")


def size_of(png: bytes) -> tuple[int, int]:
    """Width and height of a picture."""
    width, height = struct.unpack(">II", png[16:24])
    return width, height


def colours_in(png: bytes) -> int:
    """How many different bytes the picture's rows hold: one or two mean that nothing was drawn."""
    data, place = b"", 8
    while place < len(png):
        length, kind = struct.unpack(">I4s", png[place:place + 8])
        if kind == b"IDAT":
            data += png[place + 8:place + 8 + length]
        place += length + 12
    return len(set(zlib.decompress(data)))
