"""A few trials of damaged input of every kind; the long run is ``python -m tests.measure.mutations``."""

from __future__ import annotations

import random
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.measure.mutate import mutated
from tests.measure.mutation_kinds import KINDS
from tests.measure.mutations import opened_once, tallied

TRIALS = 25


@pytest.fixture(scope="module")
def once() -> Iterator[None]:
    """The rule base is opened once for all kinds."""
    with opened_once():
        yield


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.usefixtures("once")
def test_damaged_input_is_answered_or_refused(kind: str, tmp_path: Path) -> None:
    """No traceback, no input changed, nothing raw or live in the output, none slow."""
    tally = tallied(kind, range(1_000_000, 1_000_000 + TRIALS), tmp_path)
    assert [wrong for _, wrong in tally.faults if "took" not in wrong] == []
    assert set(tally.statuses) <= {0, 2}
    assert sum(tally.statuses.values()) == TRIALS


def test_the_same_number_does_the_same_damage() -> None:
    """A fault can be repeated by its number."""
    raw = b"case: 1\nletter: |\n  The leaves are limp.\n" * 9
    first, second = ([mutated(raw, [raw], random.Random(seed)) for seed in range(200)] for _ in range(2))
    assert first == second
    assert len(set(first)) > 190
