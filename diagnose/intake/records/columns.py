"""What the columns of an export hold, told by the words and units of its header line."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from diagnose.frozen import frozen

__all__ = ["Heading", "read_heading"]

# Header words of exports in the languages loggers are sold with. Words are whole, in lower case.
_WORDS: Final[dict[str, frozenset[str]]] = {
    role: frozenset(words.split())
    for role, words in {
        "time": """time timestamp datetime ts zeit zeitstempel zeitpunkt uhrzeit heure horodatage temps hora hour tid
            tidspunkt tijd tijdstip ora orario čas czas aika klockslag clock epoch unix utc godzina czasu время
            时间 時刻 日時""",
        "date": "date datum fecha data dato jour day päivä päivämäärä dátum дата 日期 日付",
        "temperature": """t temp temperature temperatur température temperatura temperatuur temperatury teplota
            lämpötila hőmérséklet tempc tempf lufttemperatur lufttemp celsius fahrenheit tair температура 温度 気温""",
        "humidity": """rh hum humid humidity hygro feuchte feuchtigkeit luftfeuchte luftfeuchtigkeit rf rlf humidité
            hr humedad umidità umidita ur vochtigheid luchtvochtigheid rv fuktighet luftfuktighet fugtighed
            luftfugtighed kosteus vlhkost wilgotność umidade humidade páratartalom влажность 湿度""",
        "light": """light lux lx klux illuminance illumination brightness ppfd par licht helligkeit
            beleuchtungsstärke lumière éclairement luz luce footcandle footcandles fc iluminancia
            intensity luminosité luminosidade luminosidad belichting lichtsterkte ljus lys valo światła oświetlenie
            освещённость освещенность лк 照度 光照 光照强度""",
        "dew": "dew dewpoint taupunkt rosée rocío rugiada dauwpunt dp orvalho dagpunkt duggpunkt",
    }.items()
}
_NOT_WANTED: Final = frozenset({
    "index", "feels", "chill", "wet", "wetbulb", "vpd", "absolute", "abs", "pressure", "alarm", "battery", "soil",
    "water", "leaf", "substrate", "boden", "bodem", "sol", "zone", "interval", "duration", "elapsed", "setpoint",
    "target", "limit", "status", "signal", "uv",
})
_NUMBERING: Final = frozenset({"no", "nr", "num", "number", "id", "record", "row", "line", "sample"})
_SECOND_CHOICE: Final = frozenset({
    "min", "max", "high", "low", "minimum", "maximum", "outdoor", "outside", "out", "extern", "external", "aussen",
    "außen",
})
_UNITS: Final[tuple[tuple[str, re.Pattern[str]], ...]] = (
    ("C", re.compile(r"[°º˚]\s*c\b|℃|celsius|\bdeg\s*c\b|tempc\b|(?:^|[\W_])c$|[(\[]\s*c\s*[)\]]")),
    ("F", re.compile(r"[°º˚]\s*f\b|℉|fahrenheit|\bdeg\s*f\b|tempf\b|(?:^|[\W_])f$|[(\[]\s*f\s*[)\]]")),
    ("klux", re.compile(r"\bk\s?lu?x\b")),
    ("lux", re.compile(r"\blu?x\b|\bлк\b")),
    ("foot-candles", re.compile(r"foot|\blu?m/ft|\bft\W?c|\bfc\b")),
    ("PPFD", re.compile(r"ppfd|mol\W?[/·*\s]?m|\bpar\b|mol\s?m")),
    ("other", re.compile(r"\bw\s?/\s?m|wm-?2|w·m|\bk\b$")),
)
_ZONE = re.compile(r"\b(?:utc|gmt)\s*(?:([+-−])\s*(\d{1,2})(?::?(\d{2}))?)?|(?:^|_)utc$", re.IGNORECASE)


@frozen
class Heading:
    """Columns by index, None where there is none; units as the header states them, empty where it does not.

    ``offset_s`` is a shift from UTC in seconds stated for the time column. ``passed_over`` names further columns of a
    quantity that has one already, ``unknown`` those of which it is not known what they hold. ``width`` is the number
    of cells of the header.
    """

    names: tuple[str, ...] = ()
    time: int | None = None
    date: int | None = None
    temperature: int | None = None
    humidity: int | None = None
    light: int | None = None
    dew: int | None = None
    temperature_unit: str = ""
    light_unit: str = ""
    offset_s: int | None = None
    passed_over: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()

    @property
    def known(self) -> int:
        """How many of time, date, temperature, humidity and light there are."""
        every = (self.time, self.date, self.temperature, self.humidity, self.light)
        return sum(each is not None for each in every)

    @property
    def width(self) -> int:
        """Number of cells of the header line, empty ones at its end included."""
        return len(self.names)

    @property
    def usable(self) -> bool:
        """Whether there is a time and at least one quantity."""
        timed = self.time is not None or self.date is not None
        return timed and any(each is not None for each in (self.temperature, self.humidity, self.light))


def read_heading(cells: Sequence[str]) -> Heading:
    """What each cell of a line would mean if the line were a header."""
    names = tuple(cell.strip().strip("\"'#").strip() for cell in cells)
    chosen: dict[str, list[int]] = {}
    for second_choice in (False, True):
        for at, name in enumerate(names):
            role, lesser = _role(name)
            if role and lesser is second_choice:
                chosen.setdefault(role, []).append(at)
    first = {role: places[0] for role, places in chosen.items()}
    over = [names[at] for role, places in chosen.items() if role not in ("time", "date", "dew") for at in places[1:]]
    time, date = first.get("time"), first.get("date")
    stamp = time if time is not None else date
    return Heading(
        names, time, date, first.get("temperature"), first.get("humidity"), first.get("light"), first.get("dew"),
        _unit(names, first.get("temperature"), ("C", "F")),
        _unit(names, first.get("light"), ("klux", "lux", "foot-candles", "PPFD", "other")),
        None if stamp is None else _offset_s(names[stamp]), tuple(over), tuple(filter(_is_unknown, names)))


def _words(name: str) -> list[str]:
    return re.findall(r"[^\W\d_]+", name.casefold())


def _role(name: str) -> tuple[str, bool]:
    """The role of a column and whether another of that role is to be preferred."""
    words = set(_words(name))
    if not words:
        return ("humidity", True) if name.strip() == "%" else ("", False)
    if words & _NOT_WANTED or len(name) > 120:
        return "", False
    roles = [role for role in ("dew", "time", "humidity", "temperature", "light", "date") if words & _WORDS[role]]
    if roles:
        return roles[0], bool(words & _SECOND_CHOICE)
    return ("temperature", True) if _matching(name, ("C", "F")) else ("", False)


def _is_unknown(name: str) -> bool:
    words = set(_words(name))
    return bool(words) and not _role(name)[0] and not words & (_NOT_WANTED | _NUMBERING)


def _matching(name: str, wanted: Sequence[str]) -> str:
    plain = name.casefold().replace("_", " ")
    return next((unit for unit, pattern in _UNITS if unit in wanted and pattern.search(plain)), "")


def _unit(names: Sequence[str], at: int | None, wanted: Sequence[str]) -> str:
    return "" if at is None else _matching(names[at], wanted)


def _offset_s(name: str) -> int | None:
    found = _ZONE.search(name)
    if not found:
        return None
    seconds = int(found[2] or 0) * 3600 + int(found[3] or 0) * 60
    return -seconds if (found[1] or "+") in "-−" else seconds
