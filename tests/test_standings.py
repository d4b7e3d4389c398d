"""A change of a rule or of the reader shows as a change of the standings, for review.

After a change that is wanted: python -m tests.measure.standings
"""

from __future__ import annotations

import difflib
from pathlib import Path

from diagnose.workbench import Workbench
from tests.measure.standings import FACTS, LETTERS, standings_of_facts, standings_of_letters
from tests.own import own_rulebook


def _changes(path: Path, now: str) -> list[str]:
    kept = path.read_text(encoding="utf-8").splitlines()
    return [line for line in difflib.unified_diff(kept, now.splitlines(), "kept", "now", n=0, lineterm="")
            if not line.startswith("@@")]


def test_facts_stand_where_they_stood() -> None:
    """Worked examples, published rows and statements have the first three causes written in standings.txt."""
    assert _changes(FACTS, standings_of_facts(own_rulebook())) == []


def test_letters_stand_where_they_stood() -> None:
    """Development letters have the first three causes written in standings_letters.txt."""
    assert _changes(LETTERS, standings_of_letters(Workbench.open())) == []
