"""Earlier cases like one: by shared signs, rare ones weighing more."""

from __future__ import annotations

import datetime as dt

from diagnose.knowledge.desk import read_desk_rules
from diagnose.knowledge.folder import load
from diagnose.knowledge.store import default_folder
from diagnose.model.cases import CaseFile, DeskCase, Glance, Outcome
from diagnose.reason.similar import alikeness, earlier_like

BASE = load(default_folder())
RULES = read_desk_rules(BASE, default_folder()).similar
BY_BACKGROUND = sorted(BASE.signs, key=lambda sign: BASE.signs[sign].background)
RARE, COMMON = BY_BACKGROUND[0], BY_BACKGROUND[-1]


def case(name: str, signs: tuple[str, ...], *, day: str = "2026-01-01", group: str = "unknown", known: bool = False
         ) -> DeskCase:
    """A case with these signs."""
    received = dt.date.fromisoformat(day)
    file = CaseFile(f"{name}.yaml", name, received, outcome=Outcome("x", "same", received) if known else None)
    return DeskCase(file, Glance((), signs, (), "ask", 0.0, group))


def test_the_same_signs_are_wholly_alike_and_others_not_at_all() -> None:
    """From 0 to 1, and 0 where nothing is known."""
    assert alikeness(BASE, frozenset([RARE]), frozenset([RARE])) == 1.0
    assert alikeness(BASE, frozenset([RARE]), frozenset([COMMON])) == 0.0
    assert alikeness(BASE, frozenset(), frozenset()) == 0.0


def test_a_rare_sign_makes_more_alike_than_a_common_one() -> None:
    """Sharing what is seldom seen says more."""
    both = frozenset([RARE, COMMON])
    assert alikeness(BASE, both, frozenset([RARE])) > alikeness(BASE, both, frozenset([COMMON]))


def test_known_endings_come_first_and_later_cases_not_at_all() -> None:
    """Only earlier cases are shown, those whose outcome is known before the others, never the case itself."""
    me = case("me", (RARE,), day="2026-02-01")
    others = [case("open", (RARE,)), case("known", (RARE, COMMON), known=True),
              case("later", (RARE,), day="2026-03-01"),
              case("unlike", (COMMON,)), me]
    assert [alike.case.case_file.case for alike in earlier_like(BASE, RULES, me, others)] == ["known", "open"]


def test_no_more_than_asked_for() -> None:
    """The list is short."""
    others = [case(str(number), (RARE,)) for number in range(20)]
    assert len(earlier_like(BASE, RULES, case("me", (RARE,)), others)) == RULES.most_shown
