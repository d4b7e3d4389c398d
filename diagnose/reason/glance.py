"""A glance at a case: likely causes, signs seen and what to ask, without the full result's reasons and advice."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from diagnose.model.cases import Glance, Missing, Share
from diagnose.model.desk import OrderRules
from diagnose.model.facts import Case, SeenSign
from diagnose.reason.consult import grade_of, verdict_of
from diagnose.reason.questions import candidates
from diagnose.reason.rulebook import Rulebook
from diagnose.reason.standing import Standing

__all__ = ["essence", "glance_at"]


def essence(case: Case) -> Case:
    """The case without what no rule looks at: the letter's words and the day within its month.

    Letters that tell the same facts have the same essence, so that it is reasoned through once. Signs told in the
    same words stay told in the same words.
    """
    said: dict[tuple[int, str], str] = {}

    def words(seen: SeenSign) -> str:
        return said.setdefault((seen.start, seen.quote), str(len(said) + 1)) if seen.quote else ""

    return replace(
        case, date=case.date.replace(day=1), not_understood=(), notes=(),
        signs=tuple(replace(seen, quote=words(seen), start=0, end=0) for seen in case.signs),
        measures=tuple(replace(measure, quote="") for measure in case.measures),
        events=tuple(replace(event, quote="") for event in case.events),
        habits=tuple(replace(habit, quote="") for habit in case.habits),
        other_plants=tuple(replace(other, quote="") for other in case.other_plants),
    )


def glance_at(rulebook: Rulebook, order: OrderRules, standing: Standing, *, asks: bool = True) -> Glance:
    """The glance at a case that has been reasoned through; the same figures as in its full result.

    With ``asks`` False it is not worked out what to ask.
    """
    constants = rulebook.base.scales.constants
    ranked = [int(n) for n in np.argsort(-standing.probability, kind="stable")]
    listed = [n for n in ranked if standing.probability[n] >= constants["least_listed"]]
    shares = tuple(_share(rulebook, n, float(standing.probability[n])) for n in listed)
    seen = standing.observed.present
    return Glance(
        shares=shares,
        signs=tuple(rulebook.signs[n] for n in seen),
        missing=_missing(rulebook, standing) if asks else (),
        verdict=verdict_of(rulebook, standing),
        nothing_fits=round(standing.nothing_fits if seen else 1.0, 4),
        group=standing.case.plant.group or "unknown",
        hurts=_hurts(order, standing.case, shares),
    )


def _share(rulebook: Rulebook, number: int, probability: float) -> Share:
    cause = rulebook.base.causes[rulebook.causes[number]]
    return Share(cause.id, round(probability, 4), grade_of(rulebook, probability), cause.urgency, bool(cause.spreads))


def _missing(rulebook: Rulebook, standing: Standing) -> tuple[Missing, ...]:
    constants = rulebook.base.scales.constants
    worth = [found for found in candidates(rulebook, standing) if found.gain_bits >= constants["worth_asking_bits"]]
    return tuple(Missing(found.sign, found.question.ask) for found in worth[:int(constants["most_asked_back"])])


def _hurts(order: OrderRules, case: Case, shares: tuple[Share, ...]) -> tuple[str, ...]:
    told = [habit.habit for habit in case.habits if habit.holds and habit.habit in order.hurts]
    return tuple(dict.fromkeys([*told, *(share.cause for share in shares if share.cause in order.hurts)]))
