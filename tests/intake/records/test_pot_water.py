"""The daily bucket: what is poured in and what dries out, by FAO-56, with a reservoir below where there is one."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnose.intake.records.pot_water import Pot, Wetting, pot_of, pot_water
from tests.intake.records.water_truth import group_water

POT = Pot(100, 0, 0.5)
RESERVOIR = Pot(100, 200, 0.5)


def used(pot: Pot, wettings: list[Wetting], daily_ml: float, last: int) -> list[float]:
    """What is gone from the root zone at the end of each day."""
    return [day.used_ml for day in pot_water(pot, wettings, lambda _: daily_ml, last).values()]


def test_loss_adds_up_until_watered() -> None:
    """Ten millilitres a day add up, and watering fills the pot again in the morning."""
    assert used(POT, [Wetting(0), Wetting(3)], 10, 4) == [10, 20, 30, 10, 20]


def test_small_amount_fills_only_in_part() -> None:
    """What is poured counts as far as it goes; more than is missing runs out."""
    assert used(POT, [Wetting(0), Wetting(3, 15)], 10, 3) == [10, 20, 30, 25]
    assert used(POT, [Wetting(0), Wetting(3, 80)], 10, 3) == [10, 20, 30, 10]


def test_dry_root_zone_gives_less() -> None:
    """Half of what may not go is gone: half of the loss is left (FAO-56, equation 84)."""
    assert POT.loss_share(50) == 1
    assert POT.loss_share(75) == pytest.approx(0.5)
    assert POT.loss_share(100) == 0


def test_reservoir_goes_first_and_keeps_the_roots_full() -> None:
    """Two hundred millilitres below bridge ten days of twenty; only then does the root zone dry."""
    days = pot_water(RESERVOIR, [Wetting(0)], lambda _: 20, 11)
    assert [day.reservoir_ml for day in days.values()][:3] == [180, 160, 140]
    assert used(RESERVOIR, [Wetting(0)], 20, 11)[-3:] == [0, 20, 40]


def test_refill_of_a_dry_pot_rises_into_the_roots() -> None:
    """A refill after the root zone dried goes up into it first; what is left stays below."""
    days = pot_water(RESERVOIR, [Wetting(0), Wetting(12, 150, into_reservoir=True)], lambda _: 20, 12)
    assert days[11].used_ml == 40
    assert (days[12].used_ml, days[12].reservoir_ml) == (0, 90)


def test_nothing_is_known_before_the_first_watering() -> None:
    """Without any watering there is no balance, and none before the first."""
    assert pot_water(POT, [], lambda _: 10, 5) == {}
    assert min(pot_water(POT, [Wetting(4)], lambda _: 10, 5)) == 4


def test_unknown_medium_gives_no_pot() -> None:
    """What a pot of an unknown medium holds is not guessed."""
    assert pot_of("", 900, 0, group_water()) is None


@settings(deadline=None)
@given(st.lists(st.tuples(st.integers(0, 60), st.one_of(st.none(), st.floats(0, 500)), st.booleans()), min_size=1),
       st.floats(0, 80), st.sampled_from([POT, RESERVOIR]))
def test_no_water_comes_from_nowhere(wettings: list[tuple[int, float | None, bool]], loss: float, pot: Pot) -> None:
    """Whatever is logged, neither store is ever overdrawn or overfull, and a day loses at most what it may."""
    days = pot_water(pot, [Wetting(*each) for each in wettings], lambda _: loss, 60)
    watered = {each[0] for each in wettings}
    before = None
    for number, day in days.items():
        assert 0 <= day.used_ml <= pot.usable_ml
        assert 0 <= day.reservoir_ml <= pot.reservoir_ml
        if before is not None and number not in watered:
            lost = day.used_ml - before.used_ml + before.reservoir_ml - day.reservoir_ml
            assert -1e-9 <= lost <= loss + 1e-9
        before = day
