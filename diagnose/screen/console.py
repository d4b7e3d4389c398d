"""The terminal to print on."""

from __future__ import annotations

import sys

from rich.console import Console

__all__ = ["console"]

WIDEST = 100


def console() -> Console:
    """A console no wider than reads well; plain where the terminal cannot do more."""
    screen = Console(highlight=False, markup=False, emoji=False, file=sys.stdout)
    if screen.width > WIDEST:
        screen.width = WIDEST
    return screen
