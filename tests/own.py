"""The project's own rule base, read and compiled once for all tests that need it."""

from __future__ import annotations

from functools import cache

from diagnose.knowledge.folder import load
from diagnose.knowledge.store import default_folder
from diagnose.model.knowledge import KnowledgeBase
from diagnose.reason.rulebook import Rulebook


@cache
def own_base() -> KnowledgeBase:
    """The rule base of the folder knowledge."""
    return load(default_folder())


@cache
def own_rulebook() -> Rulebook:
    """The same, compiled."""
    return Rulebook(own_base())
