"""Short phrases about a case that terminal and pages share."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from diagnose.model.cases import CaseFile, CaseState, DeskCase, Share
from diagnose.model.knowledge import KnowledgeBase
from diagnose.reason.triage import Due, Ranked
from diagnose.screen.card import percent
from diagnose.screen.harmless import shortened

__all__ = ["causes_of", "counts", "days", "due_words", "holder", "plant_of", "problem_of", "share_words",
           "standing_of", "urgency_words"]

MOST_CAUSES = 3
_URGENCY = {"today": "today", "this week": "this week", "soon": "soon", "none": "nothing urgent"}


def days(number: int) -> str:
    """So many days, in words."""
    return "1 day" if number == 1 else f"{number} days"


def plant_of(base: KnowledgeBase, case: DeskCase) -> str:
    """The kind of plant."""
    group = base.groups.get(case.glance.group) if case.glance else None
    return group.name if group and group.id != "unknown" else "plant not told"


def holder(file: CaseFile) -> str:
    """Who has the case."""
    if file.state is CaseState.CLOSED:
        return "closed"
    return f"{shortened(file.taken_by, 30)} has it" if file.taken_by else "nobody has it"


def standing_of(ranked: Ranked) -> str:
    """State and waiting time of a case."""
    file = ranked.case.case_file
    if file.outcome:
        return f"{file.state}, plant {file.outcome.result}"
    return f"{file.state}, waits {days(ranked.days)}" if file.state in (CaseState.NEW, CaseState.ASKED) else file.state


def causes_of(base: KnowledgeBase, case: DeskCase) -> tuple[Share, ...]:
    """The causes worth naming: those at least possible, else the first."""
    shares = case.glance.shares if case.glance else ()
    least = base.scales.grade["possible"]
    return tuple(share for share in shares if share.probability >= least)[:MOST_CAUSES] or shares[:1]


def share_words(base: KnowledgeBase, share: Share) -> str:
    """A cause with its grade."""
    spreads = ", spreads" if share.spreads else ""
    return f"{base.causes[share.cause].name}: {share.grade}, {percent(share.probability)}{spreads}"


def urgency_words(urgency: str) -> str:
    """How soon something must be done."""
    return _URGENCY.get(urgency, urgency)


def problem_of(case: DeskCase) -> str:
    """What is wrong with the file, short."""
    return shortened(case.problem, 300)


def counts(cases: Sequence[DeskCase], due: Sequence[Due]) -> str:
    """How many cases stand how."""
    read = [case for case in cases if case.glance]
    states = [f"{number} {state}" for state in CaseState
              if (number := sum(case.case_file.state is state for case in read))]
    parts = [f"{len(cases)} case files: {', '.join(states) or 'none can be read'}."]
    wrong = sum(case.glance is None for case in cases)
    if wrong:
        parts.append(f"{wrong} cannot be read; they stand at the end.")
    late = sum(found.days_left <= 0 for found in due)
    if late:
        parts.append(f"{late} to be looked at again are due (--due).")
    return " ".join(parts)


def due_words(due: Due, today: dt.date) -> str:
    """When a case is due."""
    if due.days_left == 0:
        when = "today"
    else:
        when = f"in {days(due.days_left)}" if due.days_left > 0 else f"{days(-due.days_left)} overdue"
    return f"{due.on.isoformat()} ({when}{'' if due.promised else '; usual for this cause, nothing was promised'})"
