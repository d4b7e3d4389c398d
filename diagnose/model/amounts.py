"""How growers tell times and amounts, as frozen values: the model of speech/times.yaml and speech/quantities.yaml."""

from __future__ import annotations

import math
from typing import Annotated

from diagnose.frozen import frozen

__all__ = [
    "DayWords", "Deed", "FeastDay", "Quantity", "QuantityWords", "RateMeasure", "Rates", "SeasonWords", "TimeWords",
    "ToldBy", "UnitWords",
]

Days = Annotated[int, 0, 3660]
Month = Annotated[int, 1, 12]
DayOfMonth = Annotated[int, 1, 31]
OfARate = Annotated[float, 0.01, 3660]


@frozen
class DayWords:
    """Words for a time before the date, in days."""

    days: Days
    words: tuple[str, ...]


@frozen
class FeastDay:
    """A day of the year that letters name."""

    month: Month
    day: DayOfMonth
    words: tuple[str, ...]


@frozen
class SeasonWords:
    """A season and the month in which it begins on the northern half of the earth."""

    season: str
    month: Month
    words: tuple[str, ...]


@frozen
class TimeWords:
    """Numbers, units (in days) and names by which letters tell when something was.

    Words of ``ones`` behind one for tens make one number.
    ``unsure_months`` and ``unsure_seasons`` have another meaning too and count only after a word of ``dated``.
    Words of ``now`` before a month say that the letter is written then.
    Words of ``during`` before a time say that something came about in its course, words of ``undone`` that something
    has not been since a time. What is older than ``old_days`` is past unless it is said to go on.
    """

    numbers: tuple[tuple[str, float], ...]
    ones: tuple[str, ...]
    units: tuple[tuple[str, float], ...]
    between: tuple[str, ...]
    pairs: tuple[tuple[str, str], ...]
    and_half: tuple[str, ...]
    rate_words: tuple[str, ...]
    fuzzy: tuple[str, ...]
    ago: tuple[str, ...]
    last: tuple[str, ...]
    since: tuple[str, ...]
    dated: tuple[str, ...]
    days: tuple[DayWords, ...]
    months: tuple[tuple[str, Month], ...]
    unsure_months: tuple[str, ...]
    feasts: tuple[FeastDay, ...]
    seasons: tuple[SeasonWords, ...]
    unsure_seasons: tuple[str, ...]
    now: tuple[str, ...]
    onset: tuple[str, ...]
    undone: tuple[str, ...]
    during: tuple[str, ...]
    old_days: Days


@frozen
class UnitWords:
    """How a unit is written behind its number (or ``before`` it); the value is (number - minus) x times."""

    unit: str
    words: tuple[str, ...]
    minus: float = 0.0
    times: float = 1.0
    before: bool = False


@frozen
class Quantity:
    """A quantity told in letters and the measures it stands for, all in ``unit``.

    A ``context`` word must stand near the number unless ``bare``; ``low`` to ``high`` is what can be meant.
    ``takes`` says which end of a range counts.
    """

    quantity: str
    measures: tuple[str, ...]
    unit: str
    units: tuple[str, ...]
    context: tuple[str, ...]
    not_context: tuple[str, ...]
    low: float
    high: float
    takes: str = "middle"
    bare: bool = False


@frozen
class RateMeasure:
    """A measure that follows from how often something is done: ``over_days`` 0 gives the days between two times,
    else how many times in so many days."""

    measure: str
    unit: str
    over_days: float = 0.0


@frozen
class Deed:
    """Something done at a rate, its words, and the measures that follow."""

    words: tuple[str, ...]
    gives: tuple[RateMeasure, ...] = ()


@frozen
class Rates:
    """Words for how often. ``adverbs`` hold the days between two times."""

    every: tuple[str, ...]
    per: tuple[str, ...]
    times: tuple[tuple[str, OfARate], ...]
    adverbs: tuple[tuple[str, OfARate], ...]
    deeds: tuple[Deed, ...]


@frozen
class ToldBy:
    """A habit that a told value of one of the ``measures`` amounts to: at ``most`` or at ``least`` so much.

    With a ``bound`` ("below", "above") only a value told as such a bound counts: "below 16 °C". With ``over`` it is the
    difference to a told value of those measures that counts.
    """

    habit: str
    measures: tuple[str, ...]
    bound: str = ""
    most: float = math.inf
    least: float = -math.inf
    over: tuple[str, ...] = ()


@frozen
class QuantityWords:
    """Everything about numbers with units.

    Degrees without a scale are Fahrenheit from ``fahrenheit_from`` on (``fahrenheit_tens`` if told as "the 30s"); a
    number with a word of ``warm_words`` beside it and no unit counts as degrees. ``tens`` read "the low 50s";
    ``tens_marks`` stand behind such a number, ``decades`` are words for one ("forties"). ``numerals`` are numbers in
    words; a number without a unit must stand at an end or before a word of ``followers``. Words of ``minus`` turn the
    number behind them; ``bounds`` are words before or behind a number that make it a bound, with "below" or "above".
    """

    units: tuple[UnitWords, ...]
    fahrenheit_from: float
    fahrenheit_tens: float
    warm_words: tuple[str, ...]
    tens: tuple[tuple[str, float], ...]
    tens_marks: tuple[str, ...]
    decades: tuple[tuple[str, float], ...]
    minus: tuple[str, ...]
    numerals: tuple[str, ...]
    followers: tuple[str, ...]
    bounds: tuple[tuple[str, str], ...]
    quantities: tuple[Quantity, ...]
    told_by: tuple[ToldBy, ...]
    rates: Rates
