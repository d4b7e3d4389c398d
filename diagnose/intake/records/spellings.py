"""Time stamps as loggers of several languages spell them, brought into the plain forms that are read."""

from __future__ import annotations

from typing import Final

import polars as pl

__all__ = ["plain_stamps"]

_MONTHS: Final = {
    "Jan": "jan jän ene gen янв", "Feb": "feb fév fev фев", "Mar": "mar mär maa mrt мар", "Apr": "apr avr abr апр",
    "May": "may mai mei maj mag мая май", "Jun": "jun juin giu июн", "Jul": "jul juil lug июл",
    "Aug": "aug aoû aou ago авг", "Sep": "sep set сен", "Oct": "oct okt ott out окт", "Nov": "nov ноя",
    "Dec": "dec dez déc dic des дек",
}
_DAYS: Final = "mon tue wed thu fri sat sun lun mardi martes marted mer jeu ven sam dim mié jue vie sáb dom"
_DAYS_IN_TWO: Final = "mo di mi do fr sa so ma wo vr za zo"
# Shifts from UTC of zones named by letters, summer time by its own.
_ZONES: Final = {
    "CET": "+01:00", "CEST": "+02:00", "MEZ": "+01:00", "MESZ": "+02:00", "WET": "+00:00", "WEST": "+01:00",
    "EET": "+02:00", "EEST": "+03:00", "EST": "-05:00", "EDT": "-04:00", "CDT": "-05:00", "MST": "-07:00",
    "MDT": "-06:00", "PST": "-08:00", "PDT": "-07:00", "JST": "+09:00", "AEST": "+10:00", "AEDT": "+11:00",
}
_HOUR: Final = r"\d{1,2}"
SAMPLE: Final = 400
# Applied one after the other.
_STEPS: Final[tuple[tuple[str, str], ...]] = (
    (r"^[\s\['\"’]+|['\"’]+$|\[[A-Za-z_/+-]+\]$", ""),
    (r"\]$", ""),
    (r"[\x{00A0}\x{202F}\x{2009}]", " "),
    (rf"(?i)^(?:(?:{_DAYS.replace(' ', '|')})\p{{L}}*|{_DAYS_IN_TWO.replace(' ', '|')})[.,]*\s+", ""),
    *((rf"(?i)(^|[^\p{{L}}])(?:{'|'.join(words.split())})\p{{L}}*\.?", "${1}" + name)
      for name, words in _MONTHS.items()),
    (r"\s*[年月]\s*", "-"), (r"日\s*", " "), (rf"({_HOUR})[時时点]\s*", "${1}:"), (r"(\d{2})分(\d{2})秒?", "${1}:${2}"),
    (r"[分秒]", ""), (r"午前|上午", " AM "), (r"午後|下午", " PM "),
    (rf"(?i)\s+([ap])\.?\s?m\.?\s*({_HOUR}:\d{{2}}(?::\d{{2}})?)$", " ${2} ${1}m"),
    (r"(?i)(\d)\s*([ap])\.?\s?m\.?$", "${1} ${2}m"),
    (r"(?i)\s(?:à|at|um|om|kl\.?|-)\s", " "), (r"(?i)\s*(?:uhr|uur)$", ""),
    (rf"(?i)([\sT]{_HOUR})\s?h\s?(\d{{2}})(?:\s?m(?:in)?)?", "${1}:${2}"),
    (rf"([\sT]{_HOUR})\.(\d{{2}})\.(\d{{2}})$", "${1}:${2}:${3}"), (rf"(\s{_HOUR})\.(\d{{2}})$", "${1}:${2}"),
    (r"\s*(?:GMT|UTC)\s?([+-]\d{2}):?(\d{2})$", "${1}:${2}"), (r"([+-]\d{2}):?(\d{2})\s+(?:UTC|GMT)$", "${1}:${2}"),
    *((rf"\s+{name}$", shift) for name, shift in _ZONES.items()),
    (r"^\s+|\s+$", ""),
)


def plain_stamps(cells: pl.Series) -> pl.Series:
    """The cells with names of months, hours, halves of the day and zones in the forms that are read.

    Only what changes some of the cells that are looked at is changed in all of them.
    """
    some = cells.gather_every(max(1, cells.len() // SAMPLE))
    for pattern, replacement in _STEPS:
        changed = some.str.replace_all(pattern, replacement)
        if not changed.equals(some):
            some, cells = changed, cells.str.replace_all(pattern, replacement)
    return cells
