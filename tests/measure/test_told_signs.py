"""Floors under how texts by writers who did not know the words of the rule base are read, and what counts as read."""

from __future__ import annotations

import pytest

from diagnose.workbench import CaseRequest, Workbench
from tests.measure.scores import DAY
from tests.measure.told_signs import ToldSign, figures, is_read, told_signs


@pytest.fixture(scope="module")
def bench() -> Workbench:
    """The project's own rule base, opened once."""
    return Workbench.open()


def _told(about: str, text: str) -> ToldSign:
    return ToldSign(text, about, False, True, frozenset())


def test_a_special_sign_tells_the_general_one_and_a_denied_one_nothing(bench: Workbench) -> None:
    """All buds lost overnight are lost buds; no spots are none."""
    for about, text, wanted in (("buds_drop", "All the buds went yellow and fell in one night.", True),
                                ("leaf_spots_dark", "The leaves have no black spots.", False),
                                ("leaf_spots_dark", "The leaves have black spots.", True)):
        told = _told(about, text)
        assert is_read(told, bench.case(text, CaseRequest(date=DAY)), bench.base) is wanted, text


def test_every_text_is_about_something_known(bench: Workbench) -> None:
    """Signs and circumstances of the file are those of the rule base, and both halves hold each sign."""
    for collection in ("sentences", "short"):
        halves = [told_signs(collection, half) for half in ("tune", "hold")]
        for told in (*halves[0], *halves[1]):
            assert told.about in (bench.base.habits if told.habit else bench.base.signs), told
        kept = [{told.about for told in half if not told.habit} for half in halves]
        assert kept[0] == kept[1] == set(bench.base.signs)


@pytest.mark.parametrize(("collection", "signs", "further"), [("sentences", 0.64, 0.66), ("short", 0.78, 0.22)])
def test_texts_held_back_are_read(bench: Workbench, collection: str, signs: float, further: float) -> None:
    """Invented texts nobody looked at: so many of their signs are read, and so few others beside them."""
    found = figures(bench, told_signs(collection, "hold"))
    print(found)
    assert found["signs read"] >= signs
    assert found["further signs a text"] <= further
