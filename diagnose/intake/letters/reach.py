"""What is told, denied, doubted, supposed or long past: the reach of cues within a sentence."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from diagnose.intake.letters.scopes import ScopeTable
from diagnose.intake.letters.tokens import COMMA
from diagnose.intake.letters.tries import Found, entries_at, longest
from diagnose.intake.letters.view import View
from diagnose.model.speech import Cue, Effect, Side

__all__ = ["Mark", "effects_on", "marks_of", "masked_words"]

_LIST_LOOKAHEAD = 14
_NEW_CLAUSE_REACH = 3
_SHORT_QUESTION = 4


class Mark(NamedTuple):
    """An effect on the words from ``start`` to, without, ``end``, by a cue at ``cue_start`` to ``cue_end``."""

    effect: Effect
    start: int
    end: int
    cue_start: int
    cue_end: int
    certainty: float


def marks_of(view: View, table: ScopeTable) -> list[Mark]:
    """The marks of a sentence. A cue within a longer one that has effect, or within a mask ("not only"), has none."""
    marks: list[Mark] = []
    swallowed = 0
    for at in range(len(view.words)):
        for found in _cues_at(view, table, at):
            if found.end <= swallowed or any(view.sentence.gaps[at + 1 : found.end]):
                continue
            fresh = [_mark(view, table, found, cue) for cue in found.value]
            marks += fresh
            if not fresh or any(mark.start < mark.end and mark.effect is not Effect.BACK for mark in fresh):
                swallowed = max(swallowed, found.end)
    if view.sentence.question:
        marks += _asked(view, table)
    return [mark for mark in marks if mark.start < mark.end and not _idle(mark, marks, view, table)]


def _cues_at(view: View, table: ScopeTable, at: int) -> Iterator[Found[tuple[Cue, ...]]]:
    """The cues that begin at a place: those met just as typed, then the others, the longest first."""
    if view.words[at] in table.typed:
        yield from entries_at(table.typed, view.words, at)
    if view.stems[at] in table.cues:
        yield from entries_at(table.cues, view.stems, at)


def _idle(mark: Mark, marks: Sequence[Mark], view: View, table: ScopeTable) -> bool:
    """Whether a change of state is denied ("has not recovered"), or nothing is told of how it was before."""
    if mark.effect is Effect.ONCE_WELL:
        return table.past.isdisjoint(view.words[: mark.cue_end])
    return mark.effect is Effect.OVER and any(
        other.effect in (Effect.ABSENT, Effect.UNSURE, Effect.UNTOLD) and other.cue_end <= mark.cue_start < other.end
        for other in marks)


def masked_words(view: View, table: ScopeTable) -> frozenset[int]:
    """The places of words within a turn of speech in which a cue or a time means nothing ("than last year")."""
    return frozenset(word for at, base in enumerate(view.stems) if base in table.cues
                     for found in entries_at(table.cues, view.stems, at) if not found.value
                     for word in range(found.start, found.end))


def _mark(view: View, table: ScopeTable, found: Found[tuple[Cue, ...]], cue: Cue) -> Mark:
    start, end = 0, len(view.words)
    if cue.side is Side.FOLLOWING:
        start, end = found.end, _end_of_reach(view, table, found, cue.reach)
    elif cue.side is Side.PRECEDING:
        start, end = _start_of_reach(view, table, found, cue.reach), found.start
    elif cue.side is Side.REST:
        start, end = found.end, _end_of_half(view, found)
    elif cue.side is Side.EARLIER:
        end = found.start
    elif cue.side is Side.CLAUSE:
        same = [at for at in range(end) if view.clauses[at] == view.clauses[found.start]]
        start, end = same[0], same[-1] + 1
    return Mark(cue.effect, start, end, found.start, found.end, cue.certainty)


def _end_of_half(view: View, found: Found[tuple[Cue, ...]]) -> int:
    """The next hard break behind a cue; a cue that closes its clause ("so I read,") reaches nothing."""
    count = len(view.words)
    if found.end < count and view.sentence.gaps[found.end] >= COMMA:
        return found.end
    return next((at for at in range(found.end, count) if view.halves[at] != view.halves[found.end - 1]), count)


def _end_of_reach(view: View, table: ScopeTable, found: Found[tuple[Cue, ...]], reach: int) -> int:
    first = max(found.end, view.unit_ends[found.end - 1])
    seen, had = first > found.end, found.start > 0 and view.words[found.start - 1] in table.havers
    for at in range(first, min(found.end + reach, len(view.words))):
        word = view.words[at]
        if view.clauses[at] != view.clauses[found.end - 1]:
            return at
        if view.sentence.gaps[at] >= COMMA and not _list_goes_on(view, table, at):
            return at
        joins = word in table.joiners and word not in table.alternatives
        if seen and (word in table.ends or (joins and _new_clause(view, table, at)) or (had and word in table.copulas)):
            return at
        seen = seen or view.senses[at] is not None
    return min(found.end + reach, len(view.words))


def _list_goes_on(view: View, table: ScopeTable, at: int) -> bool:
    """After a comma: whether a list closed by "or" goes on, as in "no spots, holes or webs"."""
    for other in range(at, min(at + _LIST_LOOKAHEAD, len(view.words))):
        if view.clauses[other] != view.clauses[at] or view.words[other] in table.copulas:
            return False
        if view.words[other] in table.alternatives:
            return True
    return False


def _new_clause(view: View, table: ScopeTable, at: int) -> bool:
    """After "and": whether a new statement begins, with a part as subject or a verb soon."""
    after = range(at + 1, min(at + 1 + _NEW_CLAUSE_REACH, len(view.words)))
    return any(other in view.heads or view.words[other] in table.copulas or view.words[other] in table.starters
               for other in after)


def _start_of_reach(view: View, table: ScopeTable, found: Found[tuple[Cue, ...]], reach: int) -> int:
    """A cue that looks back must close its clause ("spots, I can't see any") or statement ("had spots years ago and
    recovered"); else it reaches nothing."""
    closes = found.end == len(view.words) or view.sentence.gaps[found.end] >= COMMA or (
        view.clauses[found.end] != view.clauses[found.start]) or view.words[found.end] in table.joiners
    if not closes:
        return found.start
    start, seen = found.start, False
    while start and found.start - start < reach and view.halves[start - 1] == view.halves[found.start]:
        if seen and (view.sentence.gaps[start] or view.words[start - 1] in table.joiners):
            break
        start -= 1
        seen = seen or view.senses[start] is not None
    return start


def _asked(view: View, table: ScopeTable) -> list[Mark]:
    """The stretch of a question that asks for yes or no, from its opening word on."""
    count = len(view.words)
    openings = [at for at in range(count)
                if at == 0 or view.sentence.gaps[at] or view.clauses[at] != view.clauses[at - 1]]
    for at in reversed(openings):
        opening = longest(table.ask, view.words, at)
        if opening and not (view.words[at] in table.alternatives and _asks_before(view, table, openings, at)):
            effect = Effect.UNTOLD if _in_general(view, table, at) else Effect.UNSURE
            return [Mark(effect, at, count, at, at + 1, 1.0)] if opening.value else _supposed(view, table, opening.end)
    return [Mark(Effect.UNSURE, 0, count, -1, 0, 1.0)] if count <= _SHORT_QUESTION else []


def _asks_before(view: View, table: ScopeTable, openings: Sequence[int], at: int) -> bool:
    """Whether a question with "or" began with the question before: "can ants live there, or is it too coarse?" """
    return any(before < at and longest(table.ask, view.words, before) for before in openings)


def _supposed(view: View, table: ScopeTable, first: int) -> list[Mark]:
    """What a question only supposes, behind what it asks or at its head: "should I cut the spike when it goes brown?",
    "when the spike goes brown, should I cut it?" """
    count = len(view.words)
    at = next((at for at in range(first, count) if longest(table.supposing, view.words, at)), count)
    before = [Mark(Effect.UNTOLD, 0, first, 0, 1, 1.0)] if longest(table.supposing, view.words, 0) else []
    return [*before, Mark(Effect.UNTOLD, at, count, at, at + 1, 1.0)]


def _in_general(view: View, table: ScopeTable, at: int) -> bool:
    """Whether a question is about all plants: "do bulbs shrivel", not "do these bulbs"."""
    return view.words[at] in table.general and at + 1 < len(view.words) and view.senses[at + 1] is not None and (
        not view.is_plain(at + 1))


def effects_on(marks: Sequence[Mark], at: int, own: frozenset[int]) -> dict[Effect, float]:
    """The effects on one word, without those of cues that belong to the phrase itself (at places ``own``)."""
    found: dict[Effect, float] = {}
    for mark in marks:
        if mark.start <= at < mark.end and mark.cue_start not in own:
            found[mark.effect] = max(found.get(mark.effect, 0.0), mark.certainty)
    return found
