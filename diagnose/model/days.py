"""Days that a case can be about."""

from __future__ import annotations

import datetime as dt
import re
from typing import Final

__all__ = ["FIRST_DAY", "LAST_DAY", "day_of", "possible_day"]

FIRST_DAY: Final = dt.date(1900, 1, 1)
LAST_DAY: Final = dt.date(2199, 12, 31)  # beyond these a date is a slip, and reckoning could leave the calendar
_WRITTEN = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


def day_of(text: str) -> dt.date | None:
    """The day written as 2026-03-02; None if it is not written so or cannot be meant."""
    try:
        return possible_day(dt.date.fromisoformat(text)) if _WRITTEN.fullmatch(text) else None
    except ValueError:
        return None


def possible_day(day: dt.date) -> dt.date | None:
    """The day if a case can be about it, else None."""
    return day if FIRST_DAY <= day <= LAST_DAY else None
