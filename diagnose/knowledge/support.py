"""On whose word the rule base rests: each claim counts under the strongest kind of source that it cites."""

from __future__ import annotations

from collections import Counter

from diagnose.knowledge import words
from diagnose.knowledge.checking import claims_of
from diagnose.knowledge.form import COMMON_PRACTICE
from diagnose.model.knowledge import Claim, KnowledgeBase

__all__ = ["RANKS", "rank_of", "support", "without_authority"]

RANKS = (*dict.fromkeys(words.SOURCE_KINDS.values()), COMMON_PRACTICE)  # strongest first


def rank_of(base: KnowledgeBase, claim: Claim) -> str:
    """The strongest rank among the sources of a claim, one of RANKS."""
    ranks = {words.SOURCE_KINDS[base.sources[source].kind] for source in claim.sources if source in base.sources}
    return next((rank for rank in RANKS if rank in ranks), COMMON_PRACTICE)


def support(base: KnowledgeBase) -> dict[str, int]:
    """How many claims of causes and conditions rest on each rank, strongest first."""
    counted = Counter(rank_of(base, claim) for claim in claims_of(base))
    return {rank: counted[rank] for rank in RANKS}


def without_authority(base: KnowledgeBase) -> list[str]:
    """Causes of whose signs not one rests on a published authority, in order."""
    return [cause.id for cause in base.causes.values()
            if all(rank_of(base, rule.claim) != RANKS[0] for rule in cause.shows)]
