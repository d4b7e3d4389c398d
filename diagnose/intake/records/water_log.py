"""What a care log says of water: when a pot was wetted, and how its amounts and weighings bear on the rate of loss."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Final

from diagnose.frozen import frozen
from diagnose.intake.records.care import ALL_PLANTS, CareRow
from diagnose.intake.records.pot_water import Pot, Wetting
from diagnose.intake.records.terms import WETTING
from diagnose.intake.records.water_rate import Filled, Weighed
from diagnose.intake.records.window import day_number

__all__ = ["WaterLog", "water_log"]

MILLILITRES: Final = {"ml": 1.0, "l": 1000.0}
_ANEW: Final = "repot"  # fresh medium is moist, and nothing weighed before counts after it


@frozen
class WaterLog:
    """``wettings`` oldest first; ``filled`` and ``weighed`` teach the rate.

    ``poured`` tells that the amounts are those of a can over a pot that drains, of which some may have run through.
    """

    wettings: tuple[Wetting, ...]
    filled: tuple[Filled, ...]
    weighed: tuple[Weighed, ...]
    poured: bool


def water_log(rows: Iterable[CareRow], pot: Pot, drying_between: Callable[[int, int], float]) -> WaterLog:
    """The water of one plant's rows. ``drying_between`` adds up kPa from a day up to but without another.

    A row for the whole bench does not say how much of it this pot got. More than a pot holds has run through, and only
    says that it was full.
    """
    reader = _Reader(pot, drying_between)
    for row in rows:
        reader.take(row)
    filled = () if reader.weighed and not pot.reservoir_ml else tuple(reader.filled)  # weights tell more than the can
    return WaterLog(tuple(reader.wettings), filled, tuple(reader.weighed), bool(filled) and not pot.reservoir_ml)


class _Reader:
    """Reads rows in their order; the last wetting of a day is what the next interval starts from."""

    def __init__(self, pot: Pot, drying_between: Callable[[int, int], float]) -> None:
        self.pot, self.drying_between = pot, drying_between
        self.wettings: list[Wetting] = []
        self.filled: list[Filled] = []
        self.weighed: list[Weighed] = []
        self.fill = 0  # number of the day's fill that the pot was last filled by
        self.measured = False

    def take(self, row: CareRow) -> None:
        """Take one row."""
        day = day_number(row.date)
        if row.action in WETTING:
            self._wet(row, day)
        elif row.action == _ANEW:
            self.weighed.clear()
            self._fill(Wetting(day), teaches=False)
        elif row.action == "weigh" and row.plant != ALL_PLANTS and self.wettings:
            grams = next((dose.amount for dose in row.doses[:1] if dose.unit == "g"), None)
            if grams is not None:
                self.weighed.append(Weighed(grams, self.drying_between(self.wettings[-1].day, day), self.fill))

    def _wet(self, row: CareRow, day: int) -> None:
        ml = None if row.plant == ALL_PLANTS or row.action == "soak" else _millilitres(row)
        if ml is not None and not 0 < ml < self.pot.usable_ml + self.pot.reservoir_ml:
            ml = None
        self._fill(Wetting(day, ml, row.action == "refill"), teaches=True)

    def _fill(self, wetting: Wetting, *, teaches: bool) -> None:
        before = self.wettings[-1] if self.wettings else None
        if before and before.day == wetting.day:
            self._again(before, wetting)
            return
        self.wettings.append(wetting)
        if before and teaches and wetting.ml is not None:
            drying = self.drying_between(before.day, wetting.day)
            self.filled.append(Filled(wetting.ml, drying, self.fill, self.fill + 1, self.measured))
        self.fill += 1
        self.measured = wetting.ml is not None

    def _again(self, before: Wetting, wetting: Wetting) -> None:
        """A second wetting on one day belongs to the same fill; where either is unmeasured, so is the whole."""
        both = None if before.ml is None or wetting.ml is None else before.ml + wetting.ml
        self.wettings[-1] = Wetting(before.day, both, before.into_reservoir and wetting.into_reservoir)
        if self.filled and self.filled[-1].end == self.fill:
            last = self.filled.pop()
            if both is not None:
                self.filled.append(Filled(both, last.drying_kpa, last.start, last.end, last.start_measured))
        self.measured = both is not None


def _millilitres(row: CareRow) -> float | None:
    """The amount of the row itself; a volume in the detail may be that of the whole can."""
    first = row.doses[0] if row.doses else None
    return first.amount * MILLILITRES[first.unit] if first and first.unit in MILLILITRES else None
