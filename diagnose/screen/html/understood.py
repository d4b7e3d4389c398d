"""The letter with what was understood of it marked and numbered, and the same as a list."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from diagnose.model.knowledge import KnowledgeBase
from diagnose.model.result import ResultSign, Understood
from diagnose.screen.marking import Piece, Remark, marked
from diagnose.screen.page import Markup, definitions, joined, listed, tag

__all__ = ["marked_letter", "plant_words", "understood_lists"]

TOLD = "told"
_STATES = {"present": "there", "absent": "not there", "unsure": "unsure", TOLD: "told"}


@dataclass(frozen=True, slots=True)
class _Told:
    """A figure or an event with the place of its words in the letter."""

    start: int
    end: int
    name: str
    state: str = TOLD


def marked_letter(base: KnowledgeBase, letter: str, understood: Understood) -> Iterator[Markup]:
    """The letter; every mark has a number, under which the list below says what it was taken for."""
    if not letter.strip():
        return
    pieces = marked(letter, [*understood.signs, *_told(base, letter, understood)])
    notes = [piece for piece in pieces if piece.state]
    numbers = {id(piece): number for number, piece in enumerate(notes, 1)}
    yield tag("h2", "The letter, and what was understood")
    yield tag("div", *(part for piece in pieces for part in _piece(piece, numbers.get(id(piece), 0))), class_="letter")
    if notes:
        yield tag("ol", *(tag("li", tag("b", _STATES[piece.state]), f": {'; '.join(piece.signs)}") for piece in notes),
                  class_="notes")


def _piece(piece: Piece, number: int) -> Iterator[Markup | str]:
    if number:
        yield tag("mark", piece.text, class_=piece.state)
        yield tag("sup", str(number))
    else:
        yield piece.text


def _told(base: KnowledgeBase, letter: str, understood: Understood) -> Iterator[Remark]:
    """Figures and events whose quoted words stand in the letter."""
    found = [(measure.quote, f"{_measure_name(base, measure.quantity)} {measure.value:g} {measure.unit}")
             for measure in understood.measures]
    found += [(event.quote, f"{event.event.replace('_', ' ')} {_ago(event.days_ago)}") for event in understood.events]
    for quote, name in found:
        start = letter.find(quote) if quote.strip() else -1
        if start >= 0:
            yield _Told(start, start + len(quote), name)


def _measure_name(base: KnowledgeBase, measure: str) -> str:
    kind = base.measures.get(measure)
    return kind.name.lower() if kind else measure.replace("_", " ")


def _ago(days: int) -> str:
    return "1 day ago" if days == 1 else f"{days} days ago"


def plant_words(base: KnowledgeBase, understood: Understood) -> str:
    """The kind of plant, its stage and its medium, as far as they are known."""
    plant = understood.plant
    group = base.groups.get(plant.group)
    name = group.name if group and plant.group != "unknown" else "kind of plant not told"
    return ", ".join(part.replace("_", " ") for part in (name, plant.stage, plant.medium) if part)


def understood_lists(base: KnowledgeBase, understood: Understood) -> Iterator[Markup]:
    """Signs by state, figures with what was assumed, events, other plants, and what was not understood."""
    pairs: list[tuple[str, Markup | str]] = []
    for state, name in (("present", "seen"), ("unsure", "unsure"), ("absent", "not there")):
        pairs.append((name, "; ".join(_names([sign for sign in understood.signs if sign.state == state]))))
    pairs.append(("plant", plant_words(base, understood)))
    figures = [f"{_measure_name(base, each.quantity)} {each.value:g} {each.unit}" + (f" ({each.guess})" * bool(each.guess))
               for each in understood.measures]
    pairs.append(("told", "; ".join(figures)))
    pairs.append(("happened", "; ".join(f"{each.event.replace('_', ' ')} {_ago(each.days_ago)}"
                                        for each in understood.events)))
    others = [joined([each.group.replace("_", " "), f": “{each.quote}”" if each.quote else ""])
              for each in understood.other_plants]
    pairs.append(("other plants", listed(others) if others else ""))
    left = [f"“{text}”" for text in understood.not_understood]
    pairs.append(("not understood", listed(left) if left else ""))
    yield definitions(pairs)


def _names(signs: Sequence[ResultSign]) -> list[str]:
    return list(dict.fromkeys(sign.name.lower() for sign in signs))
