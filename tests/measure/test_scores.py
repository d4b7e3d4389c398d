"""Floors under the scores on labelled letters, published rows and variants; the scores are printed."""

from __future__ import annotations

import pytest

from diagnose.workbench import Workbench
from tests.measure.scores import (
    Labelled,
    answer_all,
    development_letters,
    invented_letters,
    published_rows,
    summary,
    terse_rows,
)
from tests.measure.variants import answered_variants


@pytest.fixture(scope="module")
def bench() -> Workbench:
    """The project's own rule base, opened once."""
    return Workbench.open()


@pytest.mark.parametrize(("texts", "first", "among_three"), [
    (development_letters(), 0.40, 0.66),  # growers' questions retold, with the answers of experts (tests/data)
    (invented_letters("hold"), 0.52, 0.74),  # written for this project by somebody who did not know the reader
    (published_rows(), 0.84, 0.94),  # extension services, handbooks, papers, societies (tests/data, each named)
    (terse_rows("hold"), 0.75, 0.88),  # other publications in the same style (tests/data, each named)
], ids=["development", "held back", "published", "terse, held back"])
def test_score_has_a_floor(bench: Workbench, texts: list[Labelled], first: float, among_three: float) -> None:
    """The right cause comes first, and among the first three, at least so often."""
    figures = summary(bench, answer_all(bench, texts))
    print(figures)
    assert figures["first"] >= first
    assert figures["among three"] >= among_three
    assert not figures["sick called harmless"] > 0.12


def test_records_turn_the_same_letter(bench: Workbench) -> None:
    """Same letter, other records: the cause that is then right leads in at least 88 of 100 variants."""
    variants = list(answered_variants(bench))
    right = sum(variant.first == variant.expect for variant in variants)
    print(f"{right} of {len(variants)}")
    assert right >= 0.88 * len(variants)
