"""Checks of look-alikes: do they name each other, and does anything tell them apart?"""

from __future__ import annotations

from collections.abc import Iterator

from diagnose.knowledge.checking import check
from diagnose.model.knowledge import AllOf, Cause, KnowledgeBase
from diagnose.problems import Problem

__all__: list[str] = []

_APART = 0.25  # the least difference of frequencies by which a sign separates two causes
_APART_DECIBANS = 5.0  # the least difference by which a circumstance does


@check("look-alikes-not-mutual")
def look_alikes_not_mutual(base: KnowledgeBase) -> Iterator[Problem]:
    """Look-alikes that do not name each other."""
    for cause in base.causes.values():
        for other in cause.look_alikes:
            back = base.causes.get(other.cause)
            if back and cause.id not in {look.cause for look in back.look_alikes}:
                yield Problem(other.where, "look-alikes-not-mutual",
                              f'"{cause.id}" names "{other.cause}" as look-alike, which does not name it back.')


@check("look-alikes-not-separated")
def look_alikes_not_separated(base: KnowledgeBase) -> Iterator[Problem]:
    """Look-alikes that no sign and no circumstance tells apart, or that no settling check of either names."""
    for cause in base.causes.values():
        for other in cause.look_alikes:
            rival = base.causes.get(other.cause)
            if rival is None or cause.id >= rival.id:
                continue
            if not (_by_sign(cause, rival) or _by_circumstance(cause, rival)):
                yield Problem(other.where, "look-alikes-not-separated",
                              f'No sign and no condition tells "{cause.id}" from "{rival.id}".')
            if not (_checked(cause, rival) or _checked(rival, cause)):
                yield Problem(other.where, "look-alikes-not-separated",
                              f'No settling check is against "{rival.id}" here or against "{cause.id}" there.')


def _by_sign(cause: Cause, rival: Cause) -> bool:
    mine, theirs = _frequencies(cause), _frequencies(rival)
    return any(abs(mine.get(sign, 0.0) - theirs.get(sign, 0.0)) >= _APART for sign in mine.keys() | theirs.keys())


def _frequencies(cause: Cause) -> dict[str, float]:
    found: dict[str, float] = {}
    for show in cause.shows:
        found[show.sign] = max(found.get(show.sign, 0.0), show.frequency)
    return found


def _by_circumstance(cause: Cause, rival: Cause) -> bool:
    mine, theirs = _decibans(cause), _decibans(rival)
    return any(abs(mine.get(when, 0.0) - theirs.get(when, 0.0)) >= _APART_DECIBANS
               for when in mine.keys() | theirs.keys())


def _decibans(cause: Cause) -> dict[AllOf, float]:
    return {shift.when: shift.decibans for shift in cause.shifts}


def _checked(cause: Cause, rival: Cause) -> bool:
    return any(rival.id in settling.against for settling in cause.settle)
