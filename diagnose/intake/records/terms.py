"""The closed lists of words of a records folder, and the limits its numbers must keep."""

from __future__ import annotations

from typing import Final

__all__ = [
    "ACTIONS", "DATE_ORDERS", "HEMISPHERES", "LIGHT_UNITS", "TEMPERATURE_UNITS", "UNITS", "WETTING",
]

HEMISPHERES: Final = ("north", "south")
ACTIONS: Final = (
    "arrive", "water", "flush", "refill", "feed", "soak", "repot", "move", "treat", "cut", "weigh", "stage", "seen",
)
WETTING: Final = frozenset({"water", "flush", "refill", "feed", "soak"})
DATE_ORDERS: Final = ("day-first", "month-first")
TEMPERATURE_UNITS: Final = ("C", "F")
LIGHT_UNITS: Final = ("lux", "klux", "foot-candles", "PPFD")
# Unit of a dose -> the least and the most that can be meant; anything else is a slip of the pen.
UNITS: Final[dict[str, tuple[float, float]]] = {
    "ml": (0, 1_000_000), "l": (0, 1_000), "g": (0, 100_000), "min": (0, 10_080), "ppm N": (0, 20_000),
    "ppm": (0, 20_000), "mS/cm": (0, 30), "g/l": (0, 500), "pH": (0, 14), "C": (0, 60),
}
