"""Whether a match is told as present, absent or unsure, or not told of this plant now at all."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from diagnose.intake.letters.matching import Match
from diagnose.intake.letters.phrases import Kind
from diagnose.intake.letters.reach import Mark, effects_on
from diagnose.intake.letters.scopes import ScopeTable
from diagnose.intake.letters.view import View
from diagnose.model.facts import State
from diagnose.model.speech import Effect

__all__ = ["Verdict", "judged"]

_NOUN_PHRASE = 4
_PRAISE = frozenset({Kind.HEALTH, Kind.DENIAL})
_ENDING = frozenset({Effect.UNTOLD, Effect.OVER})


class Verdict(NamedTuple):
    """The state a match tells and how certain that is; None: it is supposed, read of, or past."""

    state: State | None
    certainty: float


def judged(match: Match, view: View, marks: Sequence[Mark], table: ScopeTable, either: float) -> Verdict:
    """The verdict on a match from the cues that reach its words; ``either`` is how sure one of two parts is."""
    in_doubt = _in_doubt_between(match, view, table)
    if not marks and not in_doubt:
        return Verdict(State.PRESENT, match.certainty)
    granted = _taken_for_granted(match, view, table)
    effects: dict[Effect, float] = {}
    for at in match.places:
        for effect, certainty in effects_on(marks, at, match.places).items():
            counts = effect is Effect.ABSENT and _beside(match, view, at)
            if counts or (at in match.core and effect is not Effect.PAST):
                effects[effect] = max(effects.get(effect, 0.0), certainty)
    if all(Effect.PAST in effects_on(marks, at, match.places) for at in match.core):
        effects[Effect.PAST] = 1.0
    if Effect.ONCE_WELL in effects and match.phrase.kind in _PRAISE:
        effects[Effect.OVER] = 1.0
    if Effect.ABSENT not in effects and in_doubt:
        effects.setdefault(Effect.LIKELY, either)
    if granted and Effect.UNSURE in effects and Effect.ABSENT not in effects:
        del effects[Effect.UNSURE]
    return _verdict(effects, match.certainty)


def _beside(match: Match, view: View, at: int) -> bool:
    """Whether a word of a match, such as that of its part, stands in the clause of what is told: "not one root is
    rotten", but not "no new root, and those I saw were rotten"."""
    return any(view.clauses[at] == view.clauses[other] for other in match.core)


def _verdict(effects: dict[Effect, float], certainty: float) -> Verdict:
    if not effects.keys().isdisjoint(_ENDING) or (Effect.PAST in effects and Effect.BACK not in effects):
        return Verdict(None, certainty)
    if Effect.UNSURE in effects:
        return Verdict(State.UNSURE, certainty * effects[Effect.UNSURE])
    if Effect.ABSENT in effects:
        return Verdict(State.ABSENT, certainty * effects[Effect.ABSENT])
    return Verdict(State.PRESENT, certainty * effects.get(Effect.LIKELY, 1.0))


def _in_doubt_between(match: Match, view: View, table: ScopeTable) -> bool:
    """Whether the part is one of two joined by "or", so that neither is sure: "spots on the leaves or the stems"."""
    for head in view.heads if match.part >= 0 and match.phrase.kind is Kind.SIGN else ():
        first, second = sorted((match.part, head))
        between = view.words[view.unit_ends[first] : second]
        if len(between) <= _NOUN_PHRASE and not table.alternatives.isdisjoint(between) and (
                table.light.issuperset(between)) and view.clauses[first] == view.clauses[second]:
            return True
    return False


def _taken_for_granted(match: Match, view: View, table: ScopeTable) -> bool:
    """Whether even a question grants it: "is the yellow leaf a bad sign?" has a yellow leaf."""
    if not view.sentence.question or match.part < 0:
        return False
    first, last = min(match.places), max(match.places)
    return first < match.part == last and last - first <= _NOUN_PHRASE and (
        first > 0 and view.words[first - 1] in table.definite)
