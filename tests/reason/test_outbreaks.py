"""Outbreaks are called where the club's history makes them unlikely, and only there."""

from __future__ import annotations

import datetime as dt
import random

from scipy import stats

from diagnose.knowledge.desk import read_desk_rules
from diagnose.knowledge.folder import load
from diagnose.knowledge.store import default_folder
from diagnose.model.cases import CaseFile, DeskCase, Glance, Outcome, Share
from diagnose.reason.outbreaks import find_outbreaks

BASE = load(default_folder())
RULES = read_desk_rules(BASE, default_folder()).outbreak
TODAY = dt.date(2026, 4, 22)
PESTS = sorted(cause.id for cause in BASE.causes.values() if cause.kind == "pest")
CARE = next(cause.id for cause in BASE.causes.values() if cause.kind == "care")
NUMBER = iter(range(10**6))


def case(cause: str, days_ago: int, *, probability: float = 0.9, member: str = "", outcome: str = "",
         **context: str) -> DeskCase:
    """A case with one likely cause, received so many days ago."""
    number = next(NUMBER)
    glance = Glance((Share(cause, probability, "likely", "soon", True),), (), (), "decided", 0.0, "unknown")
    day = TODAY - dt.timedelta(days=days_ago)
    file = CaseFile(f"{number}.yaml", str(number), day, member=member or f"M-{number}", context=tuple(context.items()),
                    outcome=Outcome(outcome, "better", TODAY) if outcome else None)
    return DeskCase(file, glance)


def history(count: int = 120) -> list[DeskCase]:
    """Two years of cases, none of them a pest."""
    return [case(CARE, 40 + 5 * number) for number in range(count)]


def test_many_cases_of_a_pest_within_weeks_are_an_outbreak() -> None:
    """Five of one pest in four weeks, none in two years before: called, with the p-value of the stated test."""
    lately = [case(PESTS[0], 3 * number) for number in range(5)]
    (found,) = find_outbreaks(BASE, RULES, [*history(), *lately], TODAY)
    assert (found.cause, len(found.cases), found.of) == (PESTS[0], 5, 5)
    share = BASE.causes[PESTS[0]].prior * RULES.book_cases / (RULES.book_cases + 120)
    assert abs(found.p_value / stats.binom.sf(4, 5, share) - 1) < 1e-9
    assert found.chance <= RULES.most_chance


def test_a_pest_that_is_always_there_is_none() -> None:
    """Where every third case has always been that pest, a few more are nothing new."""
    usual = [case(PESTS[0] if number % 3 == 0 else CARE, 5 * number) for number in range(140)]
    assert find_outbreaks(BASE, RULES, usual, TODAY) == []


def test_two_cases_are_too_few() -> None:
    """Fewer than the least number are never called, however rare the pest."""
    assert find_outbreaks(BASE, RULES, [*history(), case(PESTS[0], 1), case(PESTS[0], 2)], TODAY) == []


def test_letters_of_one_member_count_once() -> None:
    """One member who writes five times about the same bugs is no outbreak."""
    lately = [case(PESTS[0], number, member="M-x") for number in range(5)]
    assert find_outbreaks(BASE, RULES, [*history(), *lately], TODAY) == []


def test_trouble_of_care_is_no_outbreak() -> None:
    """Only what can go round is watched."""
    lately = [case(CARE, number) for number in range(20)]
    assert find_outbreaks(BASE, RULES, lately, TODAY) == []


def test_what_cases_share_is_named() -> None:
    """Cases from one show are called even when they came in over months."""
    shared = [case(PESTS[0], 60 + 10 * number, show="spring") for number in range(4)]
    found = find_outbreaks(BASE, RULES, [*history(), *shared], TODAY)
    assert [(entry.shared, entry.value, len(entry.cases)) for entry in found] == [("show", "spring", 4)]


def test_what_proved_true_counts_before_what_was_likely() -> None:
    """A case that proved to be something else is no case of the pest."""
    lately = [case(PESTS[0], number, outcome=CARE) for number in range(5)]
    assert find_outbreaks(BASE, RULES, [*history(), *lately], TODAY) == []


def test_later_cases_are_not_looked_at() -> None:
    """As of a day, what came in after it does not count."""
    lately = [case(PESTS[0], -number - 1) for number in range(5)]
    assert find_outbreaks(BASE, RULES, [*history(), *lately], TODAY) == []


def test_quiet_clubs_seldom_see_a_false_notice() -> None:
    """In 300 invented clubs without any outbreak, at most one in ten shows a notice."""
    chance = random.Random(7)
    false = 0
    for _ in range(300):
        causes = chance.choices([*PESTS, CARE], [BASE.causes[name].prior for name in PESTS] + [0.7], k=160)
        cases = [case(cause, chance.randrange(600), show=f"s{chance.randrange(12)}") for cause in causes]
        false += bool(find_outbreaks(BASE, RULES, cases, TODAY))
    assert false <= 30
