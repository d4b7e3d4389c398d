"""Seasons of the year."""

from __future__ import annotations

import datetime as dt

__all__ = ["season_of"]


def season_of(date: dt.date, hemisphere: str) -> str:
    """The meteorological season of a date ("" where the hemisphere is unknown)."""
    if hemisphere not in ("north", "south"):
        return ""
    order = ("winter", "spring", "summer", "autumn")
    shift = 0 if hemisphere == "north" else 2
    return order[(date.month % 12 // 3 + shift) % 4]
