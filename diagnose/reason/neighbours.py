"""What plants of one place tell of each other: a cause that spreads, and a cause that comes from the place."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from diagnose.frozen import frozen
from diagnose.model.outlook import BenchPlant, OutlookRules
from diagnose.reason.rulebook import Rulebook
from diagnose.reason.standing import Standing

__all__ = ["Hint", "hints", "place_mates"]


@frozen
class Hint:
    """Other plants of the place show signs of a cause; ``decibans`` is what that does to its odds here."""

    cause: str
    plants: tuple[str, ...]
    spreads: bool
    decibans: float


def place_mates(plants: Sequence[BenchPlant]) -> Mapping[str, tuple[str, ...]]:
    """For each plant the others that stand at the same known place."""
    at: dict[str, list[str]] = {}
    for plant in plants:
        at.setdefault(plant.place, []).append(plant.plant)
    return {plant.plant: tuple(other for other in at[plant.place] if other != plant.plant) if plant.place else ()
            for plant in plants}


def hints(rulebook: Rulebook, rules: OutlookRules, plants: Sequence[BenchPlant], standings: Sequence[Standing]
          ) -> Mapping[str, tuple[Hint, ...]]:
    """For each plant what its place mates hint at.

    A mate counts by the probability that the cause holds there and accounts for signs seen; the surest mate counts for
    a spreading cause, all of them together, up to twice as much, for one of the place.
    """
    mates = place_mates(plants)
    showing = {plant.plant: _showing(rulebook, rules, standing)
               for plant, standing in zip(plants, standings, strict=True)}
    return {plant.plant: tuple(_hints(rulebook, rules, mates[plant.plant], showing)) for plant in plants}


def _showing(rulebook: Rulebook, rules: OutlookRules, standing: Standing) -> dict[str, float]:
    """The causes that a plant shows signs of, with their probability, as far as they concern other plants."""
    found = {}
    for number, cause in enumerate(rulebook.causes):
        probability = float(standing.probability[number])
        concerns = cause in rules.of_the_place or bool(rulebook.base.causes[cause].spreads)
        if concerns and probability >= rules.limits.neighbour_from:
            found[cause] = probability
    return found


def _hints(rulebook: Rulebook, rules: OutlookRules, mates: Sequence[str], showing: Mapping[str, Mapping[str, float]]
           ) -> list[Hint]:
    causes = sorted({cause for mate in mates for cause in showing[mate]})
    found = []
    for cause in causes:
        shares = {mate: showing[mate][cause] for mate in mates if cause in showing[mate]}
        spreads = bool(rulebook.base.causes[cause].spreads)
        decibans = (rules.moves.neighbour_has_it * max(shares.values()) if spreads
                    else rules.moves.shared_place * min(2.0, sum(shares.values())))
        found.append(Hint(cause, tuple(shares), spreads, decibans))
    return found
