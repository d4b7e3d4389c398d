"""The rule base against publications: their statements as facts, without the reader of letters.

The rows are those of tests/data/published_rows.yaml, each with its source; the statements are those of
tests/data/statements.yaml, each with the id of its source in knowledge/sources.yaml, or common practice.
"""

from __future__ import annotations

import re
from collections import Counter

import pytest

from diagnose.knowledge.words import EVENTS
from diagnose.reason.examples import ranking
from tests.measure.told import Told, published_rows_told, statements_told
from tests.own import own_base, own_rulebook

LEAST_FIRST, LEAST_AMONG_THREE = 0.85, 0.97
LEAST_STATEMENTS = 2
ONE_STATEMENT = {"burkholderia_blight", "harmless_soil_animals"}  # publications say one thing of them


def _ranked(told: Told) -> list[str]:
    return ranking(own_rulebook(), told.stand(own_rulebook()))


def test_published_rows_come_out_as_their_publications_say() -> None:
    """Of 93 published rows 85 % have their cause first and 97 % have it among the first three."""
    rows = published_rows_told()
    orders = [(row, _ranked(row)) for row in rows]
    first = [row.id for row, order in orders if order[0] not in row.causes]
    three = [row.id for row, order in orders if not set(order[:3]) & set(row.causes)]
    assert len(rows) == 93
    assert 1 - len(first) / len(rows) >= LEAST_FIRST, f"not first: {first}"
    assert 1 - len(three) / len(rows) >= LEAST_AMONG_THREE, f"not among three: {three}"


@pytest.mark.parametrize("told", statements_told(), ids=lambda told: re.sub(r"\W+", "-", told.id)[:90])
def test_a_printed_statement_puts_its_cause_first(told: Told) -> None:
    """The two or three signs that authorities print for a cause name it before its look-alikes."""
    assert _ranked(told)[0] in told.causes


def test_every_cause_has_its_statements() -> None:
    """At least two statements for each cause, one where publications say one thing only."""
    counted = Counter(told.causes[0] for told in statements_told())
    assert set(counted) == set(own_base().causes)
    assert {cause for cause in counted if counted[cause] < LEAST_STATEMENTS} == ONE_STATEMENT


def test_statements_name_sources_that_exist() -> None:
    """Each statement names a publication of the rule base, or common practice."""
    sources = {*own_base().sources, "common practice"}
    assert {told.source for told in statements_told()} <= sources


@pytest.mark.parametrize("told", [*published_rows_told(), *statements_told()], ids=lambda told: told.id[:40])
def test_facts_use_words_that_exist(told: Told) -> None:
    """Signs, conditions, habits, events and measures of the facts are those of the rule base."""
    base = own_base()
    assert {seen.sign for seen in told.case.signs} <= set(base.signs)
    assert set(told.given) <= set(base.conditions)
    assert {habit.habit for habit in told.case.habits} <= set(base.habits)
    assert {event.event for event in told.case.events} <= set(EVENTS)
    assert {measure.measure for measure in told.case.measures} <= set(base.measures)
    assert told.case.plant.group in {"", *base.groups}
