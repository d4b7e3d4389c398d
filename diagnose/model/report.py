"""All that a page about one plant shows, as one value."""

from __future__ import annotations

import datetime as dt

from diagnose.frozen import frozen
from diagnose.model.history import DamageWindow, History
from diagnose.model.knowledge import Group
from diagnose.model.result import Result

__all__ = ["Report"]


@frozen
class Report:
    """The letter (may be empty), the result, and what the records tell day by day (None without records).

    ``group`` is that whose needs were used; ``onset`` the day since when the trouble is told to be there; ``windows``
    are those of the leading cause.
    """

    letter: str
    result: Result
    group: Group | None = None
    history: History | None = None
    onset: dt.date | None = None
    windows: tuple[DamageWindow, ...] = ()
