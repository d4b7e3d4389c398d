"""What the records of a plant tell day by day, for pictures: climate, care, water in the pot, stages of growth.

Days of which too little is known are simply not there: a gap is never filled.
"""

from __future__ import annotations

import datetime as dt
from typing import Literal

from diagnose.frozen import frozen

__all__ = ["CareDeed", "DamageWindow", "DayRange", "History", "Quantity", "Series", "StageSpan", "WaterDay",
           "WaterHistory"]

Quantity = Literal["temperature", "humidity", "deficit", "light"]


@frozen
class DayRange:
    """Lowest and highest reading of a day, and its mean over time, in the unit of the series."""

    day: dt.date
    low: float
    mean: float
    high: float


@frozen
class Series:
    """One quantity over the known days, oldest first: temperature in C, relative humidity in %, vapour pressure
    deficit in kPa or light in lux."""

    quantity: Quantity
    days: tuple[DayRange, ...]


@frozen
class CareDeed:
    """A row of the care log; ``amount`` is its first amount in words, empty where none was logged."""

    day: dt.date
    action: str
    amount: str = ""
    detail: str = ""


@frozen
class WaterDay:
    """How a day ended: shares, 0 to 1, of what roots can draw on, best and within bounds, and of a full reservoir.

    ``reservoir_share`` is None where there is no reservoir.
    """

    day: dt.date
    least_share: float
    share: float
    most_share: float
    reservoir_share: float | None = None


@frozen
class WaterHistory:
    """The water balance of the pot. Below ``due_share`` it was time to water; ``learned`` says that the plant's own log
    taught the rate of loss, which else is the usual one for group and pot."""

    usable_ml: float
    reservoir_ml: float
    due_share: float
    learned: bool
    days: tuple[WaterDay, ...]


@frozen
class StageSpan:
    """The last days of a stage up to the onset of the trouble; ``dated`` False: its beginning is not logged."""

    stage: str
    first: dt.date
    last: dt.date
    dated: bool = True


@frozen
class History:
    """The records of one plant from ``first`` to ``last``, both included, ``last`` being the day it is judged as of."""

    plant: str
    first: dt.date
    last: dt.date
    series: tuple[Series, ...] = ()
    care: tuple[CareDeed, ...] = ()
    water: WaterHistory | None = None
    stages: tuple[StageSpan, ...] = ()

    @property
    def length(self) -> int:
        """Number of days, at least one."""
        return (self.last - self.first).days + 1


@frozen
class DamageWindow:
    """Days in which something held that made a cause likelier: what (``name``), the figure behind it, of which measure.

    ``measure`` is an id of knowledge/measures.yaml, or empty for something done, whose ``shown`` is what was noted.
    """

    cause: str
    first: dt.date
    last: dt.date
    name: str
    measure: str = ""
    shown: str = ""
