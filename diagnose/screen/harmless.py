"""What others wrote, made harmless for a screen: no control characters, escapes or hidden direction marks."""

from __future__ import annotations

import re
import unicodedata

__all__ = ["harmless", "shortened"]

_ESCAPES = re.compile(r"\x1b(?:\[[0-?]*[ -/]*[@-~]|\][^\x07\x1b]*(?:\x07|\x1b\\)?|[@-_])|\x9b[0-?]*[ -/]*[@-~]")


def harmless(text: str) -> str:
    """The text with escapes, control and invisible format characters taken out; line ends and tabs become blanks."""
    without = _ESCAPES.sub("", text)
    kept = (" " if char in "\n\r\t" else char for char in without)
    return "".join(char for char in kept if unicodedata.category(char) not in ("Cc", "Cf", "Cs", "Co", "Zl", "Zp"))


def shortened(text: str, most: int) -> str:
    """Harmless text of at most so many characters, cut at a word with an ellipsis."""
    folded = " ".join(harmless(text).split())
    if len(folded) <= most:
        return folded
    return folded[: most - 1].rsplit(" ", 1)[0].rstrip(",;:.") + "…"
