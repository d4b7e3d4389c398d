"""The order of the desk: what waiting costs, times how likely, times one more than the days waited.

The cost of a day is the urgency's number from the scales, times a factor where the cause spreads to other plants, times
another where people or pets could come to harm. Costs of all likely causes are added, for several can hold at once.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from diagnose.frozen import frozen
from diagnose.model.cases import CaseState, DeedWord, DeskCase, Glance, Share
from diagnose.model.desk import OrderRules
from diagnose.model.knowledge import KnowledgeBase, Scales

__all__ = ["Due", "Ranked", "days_waited", "due_of", "in_order", "rank", "waiting_cost"]

NO_URGENCY = "none"


@frozen
class Ranked:
    """A case with its place in the order. ``cost`` is what a day of waiting costs; ``score`` sorts the list."""

    case: DeskCase
    days: int
    cost: float
    urgency: str
    score: float


@frozen
class Due:
    """A case that is to be looked at again on a day; ``promised`` False: nobody wrote a day, so it is the usual one."""

    case: str
    file: str
    on: dt.date
    by: str
    days_left: int
    promised: bool


def waiting_cost(scales: Scales, order: OrderRules, share: Share, told_hurts: bool) -> float:
    """What a day of waiting costs if this cause holds, weighted by how likely it is."""
    cost = scales.urgency[share.urgency] * share.probability
    if share.spreads:
        cost *= order.spreads_times
    if told_hurts or share.cause in order.hurts:
        cost *= order.hurts_times
    return cost


def rank(scales: Scales, order: OrderRules, case: DeskCase, today: dt.date) -> Ranked:
    """The place of one case as of a day. A file that cannot be read has no cost, for nothing is known of it."""
    days = days_waited(case, today)
    if case.glance is None:
        return Ranked(case, days, 0.0, NO_URGENCY, 0.0)
    costs = _costs(scales, order, case.glance)
    cost = sum(costs.values()) + order.unread_cost * case.glance.nothing_fits
    leading = max(costs, key=lambda share: costs[share], default=None)
    share_of_state = order.state_share[case.case_file.state]
    score = round(cost * (1 + days) * share_of_state, 4)
    return Ranked(case, days, cost, leading.urgency if leading else NO_URGENCY, score)


def _costs(scales: Scales, order: OrderRules, glance: Glance) -> dict[Share, float]:
    told = bool(glance.hurts) and any(hurt not in {share.cause for share in glance.shares} for hurt in glance.hurts)
    return {share: waiting_cost(scales, order, share, told) for share in glance.shares}


def days_waited(case: DeskCase, today: dt.date) -> int:
    """Whole days since the case was received, or since the last answer to it was reopened; never below 0."""
    reopened = [deed.on for deed in case.case_file.history if deed.did == DeedWord.REOPEN]
    since = max(reopened, default=case.case_file.received)
    return max(0, (today - since).days) if since else 0


def in_order(ranked: Iterable[Ranked]) -> list[Ranked]:
    """Worst first; of equal ones the one received first, then by id, so that the order is always the same."""
    return sorted(ranked, key=lambda r: (-r.score, r.case.case_file.received or dt.date.max, r.case.case_file.case,
                                         r.case.case_file.file))


def due_of(base: KnowledgeBase, case: DeskCase, today: dt.date) -> Due | None:
    """When an answered case is to be looked at again: the promised day, else the usual one of its likeliest cause."""
    file = case.case_file
    if file.state is not CaseState.ANSWERED or file.outcome is not None:
        return None
    on = file.look_again or _usual_day(base, case)
    if on is None:
        return None
    return Due(file.case, file.file, on, file.taken_by, (on - today).days, file.look_again is not None)


def _usual_day(base: KnowledgeBase, case: DeskCase) -> dt.date | None:
    likeliest = base.causes.get(case.glance.shares[0].cause) if case.glance and case.glance.shares else None
    answered = [deed.on for deed in case.case_file.history if deed.did == DeedWord.ANSWER]
    since = max(answered, default=case.case_file.received)
    return since + dt.timedelta(days=likeliest.look_again_days) if likeliest and since else None
