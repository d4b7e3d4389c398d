"""The order of the desk: each rule that is stated is tested by itself."""

from __future__ import annotations

import dataclasses
import datetime as dt

import pytest

from diagnose.knowledge.desk import read_desk_rules
from diagnose.knowledge.folder import load
from diagnose.knowledge.store import default_folder
from diagnose.model.cases import CaseFile, CaseState, Deed, DeskCase, Glance, Outcome, Share
from diagnose.reason.triage import due_of, in_order, rank, waiting_cost

BASE = load(default_folder())
RULES = read_desk_rules(BASE, default_folder())
TODAY = dt.date(2026, 4, 22)
NORMAL = next(cause.id for cause in BASE.causes.values() if cause.kind == "normal")
HURTS = next(name for name in RULES.order.hurts if name in BASE.causes)


def case(name: str = "a", *, cause: str = NORMAL, probability: float = 0.5, urgency: str = "this week",
         spreads: bool = False, received: str = "2026-04-12", hurts: tuple[str, ...] = (), nothing_fits: float = 0.0,
         **more: object) -> DeskCase:
    """A case with one likely cause."""
    share = Share(cause, probability, "likely", urgency, spreads)
    glance = Glance((share,) if probability else (), (), (), "decided", nothing_fits, "unknown", hurts)
    file = CaseFile(f"{name}.yaml", name, dt.date.fromisoformat(received))
    return DeskCase(dataclasses.replace(file, **more), glance)  # type: ignore[arg-type]


def score(*args: object, **more: object) -> float:
    """The score of such a case."""
    return rank(BASE.scales, RULES.order, case(*args, **more), TODAY).score  # type: ignore[arg-type]


def test_score_is_cost_times_likelihood_times_days() -> None:
    """Urgency's number x probability x (1 + days waited): 3 x 0.5 x 11."""
    assert score() == pytest.approx(BASE.scales.urgency["this week"] * 0.5 * 11)


@pytest.mark.parametrize(("better", "worse"), [
    ({"urgency": "soon"}, {"urgency": "today"}),
    ({"probability": 0.2}, {"probability": 0.8}),
    ({"received": "2026-04-21"}, {"received": "2026-04-01"}),
    ({"spreads": False}, {"spreads": True}),
    ({}, {"cause": HURTS}),
    ({}, {"hurts": ("pet_or_child",)}),
    ({"probability": 0.0}, {"probability": 0.0, "nothing_fits": 1.0}),
    ({"state": CaseState.ASKED}, {"state": CaseState.NEW}),
    ({"state": CaseState.ANSWERED}, {"state": CaseState.ASKED}),
])
def test_what_is_worse_comes_first(better: dict[str, object], worse: dict[str, object]) -> None:
    """Of two cases that differ in one thing, the one that can wait least leads."""
    ranked = [rank(BASE.scales, RULES.order, case(name, **told), TODAY)  # type: ignore[arg-type]
              for name, told in (("better", better), ("worse", worse))]
    assert [entry.case.case_file.case for entry in in_order(ranked)] == ["worse", "better"]


def test_spreading_and_hurting_multiply() -> None:
    """Both factors of triage.yaml apply to one cause at once."""
    plain = Share(NORMAL, 0.5, "likely", "soon", False)
    both = Share(HURTS, 0.5, "likely", "soon", True)
    factor = RULES.order.spreads_times * RULES.order.hurts_times
    assert waiting_cost(BASE.scales, RULES.order, both, False) == pytest.approx(
        factor * waiting_cost(BASE.scales, RULES.order, plain, False))


def test_answered_and_closed_cases_cost_nothing() -> None:
    """What is answered does not wait for us, however old it is."""
    assert score(state=CaseState.ANSWERED) == 0.0
    assert score(state=CaseState.CLOSED) == 0.0


def test_waiting_begins_again_when_reopened() -> None:
    """Days are counted from the day a case was reopened."""
    reopened = case(history=(Deed("reopen", "V-1", dt.date(2026, 4, 20)),))
    assert rank(BASE.scales, RULES.order, reopened, TODAY).days == 2


def test_a_letter_of_tomorrow_has_not_waited() -> None:
    """A day in the future, or none at all, counts as no waiting."""
    assert rank(BASE.scales, RULES.order, case(received="2026-05-01"), TODAY).days == 0


def test_equal_cases_come_in_the_same_order_always() -> None:
    """The older one first, then by id."""
    ranked = [rank(BASE.scales, RULES.order, case(name, state=CaseState.CLOSED, received=day), TODAY)
              for name, day in (("c", "2026-04-02"), ("b", "2026-04-02"), ("a", "2026-04-03"))]
    assert [entry.case.case_file.case for entry in in_order(ranked)] == ["b", "c", "a"]
    assert in_order(ranked) == in_order(reversed(ranked))


def test_urgency_shown_is_that_of_the_cause_that_adds_most() -> None:
    """A likely cause of this week outweighs an unlikely one of today."""
    shares = (Share(NORMAL, 0.9, "very likely", "this week", False), Share(HURTS, 0.02, "unlikely", "today", False))
    glance = Glance(shares, (), (), "decided", 0.0, "unknown")
    assert rank(BASE.scales, RULES.order, DeskCase(case().case_file, glance), TODAY).urgency == "this week"


def test_due_is_the_promised_day_or_the_usual_one() -> None:
    """A day written down is kept; without one it is counted from the answer by the likeliest cause's usual days."""
    promised = case(state=CaseState.ANSWERED, look_again=dt.date(2026, 4, 20))
    usual = case(state=CaseState.ANSWERED, history=(Deed("answer", "V-1", dt.date(2026, 4, 13)),))
    first, second = due_of(BASE, promised, TODAY), due_of(BASE, usual, TODAY)
    assert first is not None
    assert second is not None
    assert (first.on, first.days_left, first.promised) == (dt.date(2026, 4, 20), -2, True)
    assert (second.on - dt.date(2026, 4, 13)).days == BASE.causes[NORMAL].look_again_days
    assert not second.promised


def test_nothing_is_due_once_the_outcome_is_known() -> None:
    """New, closed and known cases are not to be looked at again."""
    known = Outcome(NORMAL, "same", dt.date(2026, 4, 20))
    assert due_of(BASE, case(state=CaseState.ANSWERED, outcome=known), TODAY) is None
    assert due_of(BASE, case(state=CaseState.CLOSED, look_again=TODAY), TODAY) is None
    assert due_of(BASE, case(), TODAY) is None
