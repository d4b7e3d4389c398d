"""A conversation in the terminal, line by line: no colour, no cursor movement, so that it works everywhere."""

from __future__ import annotations

import contextlib
import os
import shutil
import sys
import textwrap
from typing import TextIO

from diagnose.screen.console import NARROWEST, WIDEST
from diagnose.screen.harmless import harmless

__all__ = ["Talk", "is_plain"]


def is_plain(wanted: bool) -> bool:
    """Whether to speak in whole sentences, without columns and bars: as wanted, and on a terminal that is dumb."""
    return wanted or os.environ.get("TERM") == "dumb"


class Talk:
    """Says lines wrapped to the width of the terminal and reads what is typed."""

    def __init__(self, out: TextIO, *, plain: bool) -> None:
        self._out = out
        self.plain = plain
        self.width = max(NARROWEST, min(WIDEST, shutil.get_terminal_size((80, 24)).columns)) - 1
        if sys.stdin.isatty() and not plain:
            with contextlib.suppress(ImportError):
                import readline  # noqa: F401 - its loading gives the typed line arrow keys and a memory

    def say(self, text: str = "", *, first: str = "", rest: str = "") -> None:
        """One paragraph, made harmless; ``first`` stands before its first line, ``rest`` before the others."""
        rest = rest or " " * len(first)
        lines = textwrap.wrap(harmless(text), self.width, initial_indent=first, subsequent_indent=rest)
        print("\n".join(lines), file=self._out)

    def say_as_is(self, line: str) -> None:
        """One line, not wrapped, so that it can be copied."""
        print(harmless(line), file=self._out)

    def ask(self, prompt: str = "> ") -> str | None:
        """What is typed at the prompt, without blanks around it; None at the end of the input."""
        self._out.flush()
        try:
            if self._out is sys.stdout:
                return input(prompt).strip()
        except EOFError:
            return None
        print(prompt, end="", file=self._out, flush=True)
        line = sys.stdin.readline()
        return line.strip() if line else None
