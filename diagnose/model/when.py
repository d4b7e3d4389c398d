"""The tests of the rule base as values: on what is known, on days, on measures, and their combinations."""

from __future__ import annotations

from typing import Literal

from diagnose.frozen import frozen
from diagnose.model.facts import MeasureRequest

__all__ = ["AllOf", "AnyOf", "Atom", "Bound", "EventTest", "MeasureTest", "Test"]


@frozen
class Atom:
    """A test of one kind (sign, stage, group ...) that holds if any of the values does. ``wanted`` False: the
    opposite must be known (a sign seen to be absent, a habit denied); for a condition: it was not derived."""

    kind: Literal["sign", "stage", "group", "trait", "medium", "size", "season", "place", "reservoir", "condition",
                  "habit", "suspected"]
    values: tuple[str, ...]
    wanted: bool = True


@frozen
class EventTest:
    """Something done within, or longer ago than, a number of days; ``happened`` False: known not to have been done."""

    event: str
    days: int
    within: bool = True
    happened: bool = True


@frozen
class Bound:
    """A limit: a number in the measure's unit, or a need of the plant's group plus an offset."""

    value: float
    need: str = ""


@frozen
class MeasureTest:
    """A measure over a window compared with a bound, strictly above or below."""

    request: MeasureRequest
    above: bool
    bound: Bound


@frozen
class AllOf:
    """Holds when every test does."""

    tests: tuple[Test, ...]


@frozen
class AnyOf:
    """Holds when at least one test does."""

    tests: tuple[Test, ...]


Test = Atom | EventTest | MeasureTest | AllOf | AnyOf
