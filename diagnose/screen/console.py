"""The terminal to print on."""

from __future__ import annotations

import sys

from rich.console import Console

__all__ = ["NARROWEST", "WIDEST", "console"]

WIDEST = 100
NARROWEST = 40  # what says it is narrower, or has no width at all, is not believed


def console() -> Console:
    """A console neither wider nor narrower than reads well; plain where the terminal cannot do more."""
    screen = Console(highlight=False, markup=False, emoji=False, file=sys.stdout)
    screen.width = min(max(screen.width, NARROWEST), WIDEST)
    return screen
