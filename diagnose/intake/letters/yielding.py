"""Which of two signs the same words tell: a black tip of a new leaf is no dark spot."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from diagnose.intake.letters.phrases import Kind
from diagnose.intake.letters.sentences import Said
from diagnose.model.facts import State

__all__ = ["without_yielding"]


def without_yielding(said: Sequence[Said], yields: Mapping[str, frozenset[str]]) -> list[Said]:
    """What was said, without signs of which a word tells another one that they yield to."""
    present = [one for one in said if one.kind is Kind.SIGN and one.state is State.PRESENT]
    return [one for one in said if not (one.kind is Kind.SIGN and one.state is State.PRESENT and any(
        _rivals(present, one, yields.get(one.target, frozenset()))))]


def _rivals(present: Sequence[Said], one: Said, others: frozenset[str]) -> Iterator[bool]:
    """For each of the signs that one yields to, whether it is told by a word of the same, as surely."""
    return (not one.told.isdisjoint(other.told) and other.certainty >= one.certainty
            for other in present if other.target in others)
