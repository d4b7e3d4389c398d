"""Parts of the rule base as phrases that read aloud: tests, strengths and sources."""

from __future__ import annotations

from collections.abc import Mapping

from diagnose.model import knowledge as kb
from diagnose.model.knowledge import KnowledgeBase, Test

__all__ = ["Footnotes", "cited", "in_words", "strength_of"]


class Footnotes:
    """Numbers for the sources of one page, in the order they are first cited."""

    def __init__(self) -> None:
        self._numbers: dict[str, int] = {}

    def mark(self, claim: kb.Claim) -> str:
        """The mark of a claim: the numbers of its sources, and "cp" for common practice."""
        named = [source for source in claim.sources if source != "common practice"]
        marks = [str(number) for number in sorted(self._numbers.setdefault(s, len(self._numbers) + 1) for s in named)]
        return f"[{','.join(marks if len(named) == len(claim.sources) else [*marks, 'cp'])}]"

    def listed(self) -> Mapping[str, int]:
        """The sources cited so far with their numbers."""
        return self._numbers


def cited(base: KnowledgeBase, source: str, *, link: bool = True) -> str:
    """A source as one line: id, title, publisher, year if it is known, and the link if wanted."""
    entry = base.sources.get(source)
    if entry is None:
        return source
    year = "" if entry.year == "unknown" else f", {entry.year}"
    return f"{source}: {entry.title}. {entry.publisher}{year}." + (f" {entry.link}" if link else "")


def strength_of(base: KnowledgeBase, shift: kb.Shift) -> str:
    """How much a shift moves the odds, in the words of the scales: "strongly for", "a little against"."""
    if shift.kind == "ruled_out_by":
        return "rules it out"
    words = base.scales.how_much_decibans
    word = next((word for word, decibans in words.items() if decibans == abs(shift.decibans)), f"{shift.decibans:g} dB")
    return f"{word} {'for' if shift.decibans > 0 else 'against'}"


def in_words(base: KnowledgeBase, test: Test, *, ids: bool = False) -> str:
    """A test as a phrase that reads aloud; with ``ids`` the conditions stand under their ids."""
    match test:
        case kb.AllOf(tests):
            return " and ".join(in_words(base, part, ids=ids) for part in tests)
        case kb.AnyOf(tests):
            return "(" + " or ".join(in_words(base, part, ids=ids) for part in tests) + ")"
        case kb.EventTest(event, days, within, happened):
            return f"{'' if happened else 'no '}{event} {'within' if within else 'longer ago than'} {days} days"
        case kb.MeasureTest(request, above, bound):
            return _measured(base, request.measure, request.during or request.window_days, above, bound)
        case kb.Atom(kind, values, wanted):
            names = " or ".join(values if ids else (_name(base, kind, value) for value in values))
            return names if wanted else f"not: {names}"


def _measured(base: KnowledgeBase, measure: str, window: str | int, above: bool, bound: kb.Bound) -> str:
    kind = base.measures.get(measure)
    unit = {"C": "°C"}.get(kind.unit, kind.unit) if kind else ""
    span = f" over {window} days" if isinstance(window, int) and window else f" during {window}" if window else ""
    need = f"the need {bound.need.replace('_', ' ')}" if bound.need else ""
    offset = f"{bound.value:+g} {unit}" if need and bound.value else "" if need else f"{bound.value:g} {unit}"
    limit = " ".join(part for part in (need, offset) if part)
    return f"{measure.replace('_', ' ')}{span} {'above' if above else 'below'} {limit}"


def _name(base: KnowledgeBase, kind: str, value: str) -> str:
    if kind == "condition" and value in base.conditions:
        return base.conditions[value].name.lower()
    if kind == "sign" and value in base.signs:
        return base.signs[value].name.lower()
    if kind == "habit" and value in base.habits:
        return base.habits[value].name.lower()
    if kind == "group" and value in base.groups:
        return base.groups[value].name
    return f"{kind} {value.replace('_', ' ')}"
