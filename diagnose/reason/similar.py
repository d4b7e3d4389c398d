"""Earlier cases like this one, by the signs they share; a rare sign counts for more than a common one."""

from __future__ import annotations

import math
from collections.abc import Iterable

from diagnose.frozen import frozen
from diagnose.model.cases import DeskCase
from diagnose.model.desk import SimilarRules
from diagnose.model.knowledge import KnowledgeBase

__all__ = ["Alike", "alikeness", "earlier_like"]


@frozen
class Alike:
    """An earlier case and how alike it is, from 0 to 1, with the signs both have."""

    case: DeskCase
    alike: float
    shared: tuple[str, ...]


def alikeness(base: KnowledgeBase, signs: frozenset[str], others: frozenset[str]) -> float:
    """Weight of the signs both have over the weight of all signs of either; a sign weighs -log2 of its background.

    The weighted form of Jaccard's index (1901). 0 where neither has a sign.
    """
    def weight(some: frozenset[str]) -> float:
        return sum(-math.log2(base.signs[sign].background) for sign in some if sign in base.signs)

    whole = weight(signs | others)
    return weight(signs & others) / whole if whole else 0.0


def earlier_like(base: KnowledgeBase, rules: SimilarRules, case: DeskCase, others: Iterable[DeskCase]) -> list[Alike]:
    """Earlier cases that are alike enough, those whose outcome is known first, then the most alike."""
    if case.glance is None or case.case_file.received is None:
        return []
    signs, group = frozenset(case.glance.signs), case.glance.group
    found = []
    for other in others:
        received = other.case_file.received
        if other.glance is None or received is None or other.case_file.file == case.case_file.file:
            continue
        if received > case.case_file.received:
            continue
        shared = signs & frozenset(other.glance.signs)
        kin = rules.same_group if shared and group == other.glance.group != "unknown" else 0.0
        alike = min(1.0, alikeness(base, signs, frozenset(other.glance.signs)) + kin)
        if alike >= rules.least_alike:
            found.append(Alike(other, alike, tuple(sorted(shared))))
    found.sort(key=lambda a: (a.case.case_file.outcome is None, -a.alike, a.case.case_file.case))
    return found[:rules.most_shown]
