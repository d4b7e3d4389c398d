"""Is the rule base good? Runs every check over a base that could be read.

Reading (can it be read) happens in the loader; the checks stand in the modules named check_*.
"""

from __future__ import annotations

from diagnose.knowledge import check_look_alikes, check_questions, check_rules, check_use, check_words
from diagnose.knowledge.checking import CHECKS
from diagnose.model.knowledge import KnowledgeBase
from diagnose.problems import Problem

__all__ = ["CHECKS", "MODULES", "run_checks"]

MODULES = (check_look_alikes, check_questions, check_rules, check_use, check_words)  # each registers its checks


def run_checks(base: KnowledgeBase) -> list[Problem]:
    """Every finding of every check, sorted by place."""
    return sorted(problem for check in CHECKS.values() for problem in check(base))
