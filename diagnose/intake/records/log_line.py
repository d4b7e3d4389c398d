"""One short line, such as ``fed P-07 150 ppm N``, as rows of the care log."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Collection, Iterable, Mapping

from diagnose.frozen import frozen
from diagnose.intake.records.care import ALL_PLANTS
from diagnose.intake.records.doses import known_unit, with_numbers
from diagnose.intake.records.terms import UNITS
from diagnose.model.log_words import LogWords
from diagnose.problems import InputError, Where, nearest

__all__ = ["LogRow", "read_log_line"]

_HERE = Where("log")
_NUMBER = re.compile(r"(\d+(?:[.,]\d+)?)\s*(?![\d.,-])(\S.*)?")
_UNIT_WORDS = 2  # "ppm N" is the longest unit
_EXAMPLE = "Write for example: fed P-07 150 ppm N"
_NO_DOSE = frozenset({"seen", "stage", "move", "arrive", "repot", "cut"})


@frozen
class LogRow:
    """A row as it will be written, all as text but the date."""

    date: dt.date
    plant: str
    action: str
    amount: str = ""
    unit: str = ""
    detail: str = ""


def read_log_line(
    line: str, words: LogWords, plants: Collection[str], places: Mapping[str, Collection[str]], date: dt.date
) -> tuple[LogRow, ...]:
    """The rows that a line stands for, one for each plant named, a single one for all of them.

    ``places`` gives the plants that stand at each place, which may be named instead. The action comes first or right
    after the plants. Raises InputError where action, plant, amount or stage are not understood.
    """
    rest = _passed_over(_Rest(" ".join(line.split())), words)
    action = words.actions.get(rest.take(words.actions), "")
    named = _plants(rest, words, plants, places)
    action = action or words.actions.get(rest.take(words.actions), "") or (_stage(rest.text, words) and "stage")
    if not action:
        raise _unknown(rest.first, "unknown-action", "does not say what was done", words.actions)
    named = named or _plants(rest, words, plants, places)
    if not named:
        known = (*plants, *places, *words.every[:1])
        raise _unknown(rest.first, "unknown-plant", "is not a plant or place of bench.yaml", known)
    amount, unit = ("", "") if action in _NO_DOSE else _dose(_passed_over(rest, words))
    detail = rest.text if action != "stage" else _stage(rest.text, words)
    if not detail and action == "stage":
        raise _unknown(rest.text, "unknown-stage", "is not a stage", {*words.stages, *words.stages.values()})
    _refuse_more_plants(rest, words, plants)
    return tuple(LogRow(date, plant, action, amount, unit, detail) for plant in named)


def _refuse_more_plants(rest: _Rest, words: LogWords, plants: Collection[str]) -> None:
    """A plant named after the amount would be lost in the detail."""
    if rest.take(words.joins) and (plant := rest.take(plants)):
        raise InputError.one(_HERE, "plant-too-late", f'"{plant}" stands after the amount.',
                             "Name all plants together, before the amount.")


class _Rest:
    """What is left of a line. Phrases are taken from its start, the longest first, whatever their letters' size."""

    def __init__(self, text: str) -> None:
        self.text = text

    @property
    def first(self) -> str:
        """The next word."""
        return self.text.split(" ", 1)[0].strip(",;:")

    def take(self, phrases: Iterable[str]) -> str:
        """The phrase that the rest starts with, taken off it; empty text if none fits. The exact one goes first."""
        for phrase in sorted(phrases, key=lambda each: (-len(each), not self.text.startswith(each))):
            start, end = self.text[:len(phrase)], self.text[len(phrase):]
            if start.casefold() == phrase.casefold() and end[:1] in ("", " ", ",", ";", ":"):
                self.text = end.lstrip(" ;:")
                return phrase
        return ""


def _passed_over(rest: _Rest, words: LogWords) -> _Rest:
    while rest.take(words.passed_over):
        pass
    return rest


def _plants(rest: _Rest, words: LogWords, plants: Collection[str], places: Mapping[str, Collection[str]]) -> list[str]:
    """The plants named next, those of a place one by one; ``*`` for all of them."""
    found: list[str] = []
    while True:
        before = rest.text
        rest.text = rest.text.lstrip(", ")
        _passed_over(rest, words)
        joined = bool(found and rest.take(words.joins))
        if rest.take(words.every):
            return [ALL_PLANTS]
        plant = rest.take(plants)
        place = "" if plant else rest.take(places)
        if not plant and not place:
            rest.text = before if not joined or not found else rest.text
            rest.text = rest.text.lstrip(", ")
            return list(dict.fromkeys(found))
        found += [plant] if plant else sorted(places[place])


def _dose(rest: _Rest) -> tuple[str, str]:
    """The amount and unit that the rest starts with, taken off it. Raises InputError for a number without a unit."""
    found = _NUMBER.match(with_numbers(rest.text))
    if not found:
        return "", ""
    number, after = found[1], (found[2] or "").split(" ")
    for length in range(_UNIT_WORDS, 0, -1):
        unit = " ".join(after[:length]).strip(",;")
        dose = known_unit(float(number.replace(",", ".")), unit) if unit and len(after) >= length else None
        if dose and dose.rough:
            return "", ""  # told by the spoon: kept as detail, from which it is read
        if dose:
            rest.text = " ".join(after[length:]).lstrip(" ,;")
            return f"{dose.amount:g}", dose.unit
    if after[0].isalpha() and len(after[0]) > max(map(len, UNITS)):
        return "", ""  # "2 cupfuls", "3 sprays": told in words, kept as detail
    if not after[0]:
        raise InputError.one(_HERE, "no-unit", f'The amount "{number}" has no unit.', f"Known: {', '.join(UNITS)}.")
    raise _unknown(after[0], "unknown-unit", "is not a unit of the care log", UNITS)


def _stage(text: str, words: LogWords) -> str:
    """The stage that a text names, by its id or in a grower's words; empty text if it names none."""
    told = text.casefold().replace("_", " ")
    ids = {stage.replace("_", " "): stage for stage in words.stages.values()}
    return words.stages.get(told) or ids.get(told, "")


def _unknown(word: str, code: str, words: str, known: Iterable[str]) -> InputError:
    what = f'"{word}" {words}.' if word else "The line ends too early."
    choices = tuple(known)
    small = all(choice == choice.casefold() for choice in choices)  # words of the rule base; plants are as they are
    return InputError.one(_HERE, code, what, nearest(word.casefold() if small else word, choices, 20) or _EXAMPLE)
