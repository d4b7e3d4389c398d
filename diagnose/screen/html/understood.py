"""The letter with what was understood of it marked and numbered, and the same as a list."""

from __future__ import annotations

import re
from collections.abc import Container, Iterator, Sequence

from diagnose.frozen import frozen
from diagnose.model.knowledge import KnowledgeBase
from diagnose.model.result import Understood
from diagnose.screen.marking import Piece, marked
from diagnose.screen.page import Markup, definitions, listed, tag

__all__ = ["marked_letter", "plant_words"]

TOLD = "told"
_STATES = {"present": "there", "absent": "not there", "unsure": "unsure", TOLD: "told"}
_WRAPPED = re.compile(r"(?<=[^\r\n]{50})\r?\n(?=[^\s*•\d-])")  # a long line that goes on, not a list or a new paragraph


@frozen
class _Placed:
    """A figure or an event with the place of its words in the letter."""

    start: int
    end: int
    name: str
    state: str = TOLD


def marked_letter(base: KnowledgeBase, letter: str, understood: Understood) -> Iterator[Markup]:
    """The letter, every mark with the number under which the list below says what it was taken for; then the rest of
    what is known, and what was not understood."""
    told = list(_told(base, understood))
    placed = [_Placed(start, start + len(quote), name) for quote, name in told
              if quote.strip() and (start := letter.find(quote)) >= 0]
    pieces = marked(_flowing(letter), [*understood.signs, *placed]) if letter.strip() else ()
    notes = [piece for piece in pieces if piece.state]
    if letter.strip():
        numbers = {id(piece): number for number, piece in enumerate(notes, 1)}
        parts = (part for piece in pieces for part in _piece(piece, numbers.get(id(piece), 0)))
        yield tag("h2", "The letter, and what was understood")
        yield tag("div", *parts, class_="letter")
    if notes:
        yield tag("ol", *(tag("li", tag("b", _STATES[piece.state]), f": {'; '.join(piece.signs)}") for piece in notes),
                  class_="notes")
    shown = {name for piece in notes for name in piece.signs}
    yield from _rest(understood, [name for _, name in told if name not in shown], shown)


def _flowing(letter: str) -> str:
    """The letter without the line ends that only wrap its lines; each character keeps its place."""
    return _WRAPPED.sub(lambda found: " " * len(found[0]), letter)


def _piece(piece: Piece, number: int) -> Iterator[Markup | str]:
    if number:
        yield tag("mark", piece.text, class_=piece.state)
        yield tag("sup", str(number))
    else:
        yield piece.text


def _told(base: KnowledgeBase, understood: Understood) -> Iterator[tuple[str, str]]:
    """Figures, with what was assumed, and events: the quoted words, and what they were taken for."""
    for measure in understood.measures:
        guess = f" ({measure.guess})" if measure.guess else ""
        yield measure.quote, f"{_measure_name(base, measure.quantity)} {measure.value:g} {measure.unit}{guess}"
    for event in understood.events:
        yield event.quote, f"{event.event.replace('_', ' ')} {_ago(event.days_ago)}"


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


def _rest(understood: Understood, told: Sequence[str], shown: Container[str]) -> Iterator[Markup]:
    """What has no mark of its own: signs from records and answers, other plants, what was not understood."""
    pairs: list[tuple[str, Markup | str]] = []
    for state, name in _STATES.items():
        names = dict.fromkeys(sign.name for sign in understood.signs if sign.state == state and sign.name not in shown)
        pairs.append((f"also {name}", "; ".join(told if state == TOLD else names)))
    others = [": ".join(part for part in (each.group.replace("_", " "), f"“{each.quote}”" * bool(each.quote)) if part)
              for each in understood.other_plants]
    pairs.append(("other plants", listed(others) if others else ""))
    left = [f"“{text}”" for text in understood.not_understood]
    pairs.append(("not understood", listed(left) if left else ""))
    if any(text for _, text in pairs):
        yield definitions(pairs)
