"""Runs the worked examples of the cause files: each must come out as its author says."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from diagnose.model.facts import Case, Origin, PlantContext, SeenSign, State
from diagnose.model.knowledge import Cause, Example
from diagnose.problems import Problem
from diagnose.reason.rulebook import Rulebook
from diagnose.reason.standing import Standing, stand

__all__ = ["case_of", "failed_examples", "ranking"]

_SEASON_MONTH = {"winter": 1, "spring": 4, "summer": 7, "autumn": 10}
_YEAR = 2025


def case_of(example: Example) -> Case:
    """The facts of an example, as if answered at the bench, in the north."""
    plant = dict(example.plant)
    month = _SEASON_MONTH.get(plant.get("season", ""), 0)
    context = PlantContext(
        group=plant.get("group", ""), stage=plant.get("stage", ""), medium=plant.get("medium", ""),
        size=plant.get("size", ""), place=plant.get("place", ""), hemisphere="north" if month else "",
        reservoir={"yes": True, "no": False}.get(plant.get("reservoir", "")),
    )
    signs = [SeenSign(sign, State.PRESENT, Origin.ANSWER) for sign in example.signs]
    signs += [SeenSign(sign, State.ABSENT, Origin.ANSWER) for sign in example.absent]
    return Case(date=dt.date(_YEAR, month or 1, 15), plant=context, signs=tuple(signs))


def ranking(rulebook: Rulebook, standing: Standing) -> list[str]:
    """Causes by probability, likeliest first; ties in the order of their ids."""
    order = sorted(range(len(rulebook.causes)), key=lambda n: (-float(standing.probability[n]), rulebook.causes[n]))
    return [rulebook.causes[n] for n in order]


def failed_examples(rulebook: Rulebook) -> Iterator[Problem]:
    """Every example that does not come out as stated."""
    for cause in rulebook.base.causes.values():
        for example in cause.examples:
            order = ranking(rulebook, stand(rulebook, case_of(example), example.conditions))
            if not _as_stated(cause, example, order):
                first = ", ".join(order[:3])
                aim = f"lose to {example.loses_to}" if example.loses_to else "win"
                yield Problem(example.where, "example-fails", f'"{cause.id}" should {aim} here; first are {first}.')


def _as_stated(cause: Cause, example: Example, order: list[str]) -> bool:
    if example.loses_to:
        return order.index(example.loses_to) < order.index(cause.id)
    return order[0] == cause.id
