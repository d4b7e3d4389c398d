"""One case from facts to the result object. Everything comes in as arguments; nothing is read or printed here."""

from __future__ import annotations

import datetime as dt

import numpy as np

from diagnose.model.facts import Case, Measure, Origin
from diagnose.model.knowledge import Cause
from diagnose.model.result import (
    AskNext,
    CauseFound,
    Grade,
    RecordMeasure,
    RecordsSummary,
    Result,
    ResultEvent,
    ResultMeasure,
    ResultOtherPlant,
    ResultPlant,
    ResultSign,
    Understood,
    Verdict,
)
from diagnose.reason.advise import AdviceFound, advise
from diagnose.reason.explain import Explainer
from diagnose.reason.questions import candidates
from diagnose.reason.rulebook import Rulebook
from diagnose.reason.standing import Standing, stand

__all__ = ["consult", "grade_of", "result_of", "verdict_of"]

MOST_CHECKS = 3


def consult(rulebook: Rulebook, case: Case) -> Result:
    """The answer for a case."""
    return result_of(rulebook, stand(rulebook, case))


def result_of(rulebook: Rulebook, standing: Standing) -> Result:
    """The result object of a case that has been reasoned through."""
    case, constants = standing.case, rulebook.base.scales.constants
    order = [int(n) for n in np.argsort(-standing.probability, kind="stable")]
    listed = [n for n in order if standing.probability[n] >= constants["least_listed"]]
    names = [rulebook.causes[n] for n in listed]
    advice = advise(rulebook, standing, names)
    explainer = Explainer(rulebook, standing)
    return Result(
        version=1,
        date=case.date.isoformat(),
        understood=_understood(rulebook, case),
        records=_records(case),
        causes=tuple(_cause_found(rulebook, standing, explainer, n, advice[rulebook.causes[n]], names)
                     for n in listed),
        best_explanation=tuple(rulebook.causes[n] for n in _by_probability(standing)),
        unexplained=tuple(rulebook.signs[n] for n in standing.unexplained),
        nothing_fits=round(standing.nothing_fits, 4),
        approximate=standing.approximate,
        ask_next=_ask_next(rulebook, standing),
        verdict=verdict_of(rulebook, standing),
    )


def _by_probability(standing: Standing) -> list[int]:
    return sorted(standing.best, key=lambda cause: -float(standing.probability[cause]))


def verdict_of(rulebook: Rulebook, standing: Standing) -> Verdict:
    """decided: one cause leads clearly; nothing_fits: no cause accounts for it; ask: more must be known."""
    constants = rulebook.base.scales.constants
    if standing.observed.present and standing.nothing_fits >= constants["nothing_fits_from"]:
        return "nothing_fits"
    probability, beside = standing.probability, _needed_beside_the_first(standing)
    lead = float(probability.max(initial=0.0))
    rivals = [float(probability[n]) for n in range(len(probability)) if n not in beside]
    clear = lead >= constants["decided_lead"] * max(rivals, default=0.0)
    return "decided" if lead >= constants["decided_from"] and clear else "ask"


def _needed_beside_the_first(standing: Standing) -> set[int]:
    """The first cause of the best explanation and those of it that show a sign the first does not."""
    shown = standing.network.frequency[:, list(standing.observed.present)] > 0
    return {n for n in standing.best if n == standing.best[0] or (shown[n] & ~shown[standing.best[0]]).any()}


def grade_of(rulebook: Rulebook, probability: float) -> Grade:
    """The word for a probability."""
    least = rulebook.base.scales.grade
    grades: tuple[Grade, ...] = ("very likely", "likely", "possible")
    return next((grade for grade in grades if probability >= least[grade]), "unlikely")


def _cause_found(rulebook: Rulebook, standing: Standing, explainer: Explainer, number: int, advice: AdviceFound,
                 listed: list[str]) -> CauseFound:
    cause = rulebook.base.causes[rulebook.causes[number]]
    probability = float(standing.probability[number])
    for_, against = explainer.explain(number)
    return CauseFound(
        cause=cause.id, name=cause.name, also_called=cause.also_called, kind=cause.kind,
        probability=round(probability, 4), grade=grade_of(rulebook, probability), urgency=cause.urgency,
        spreads=bool(cause.spreads), for_=for_, against=against, settle=_settle(cause, listed), do=advice.do,
        do_not=advice.do_not, expect=cause.recovers,
        cautions=tuple(rulebook.base.cautions[caution].text for caution in cause.cautions),
    )


def _settle(cause: Cause, listed: list[str]) -> tuple[str, ...]:
    """Checks against the causes that are still in the running first, in the order of the cause file."""
    rivals = {name: place for place, name in enumerate(listed) if name != cause.id}
    ranked = sorted(cause.settle, key=lambda check: min(
        [rivals[name] for name in check.against if name in rivals], default=len(listed)))
    return tuple(check.check for check in ranked[:MOST_CHECKS])


def _ask_next(rulebook: Rulebook, standing: Standing) -> tuple[AskNext, ...]:
    constants = rulebook.base.scales.constants
    worth = [c for c in candidates(rulebook, standing) if c.gain_bits >= constants["worth_asking_bits"]]
    return tuple(AskNext(c.sign, c.question.ask, c.question.effort, round(c.gain_bits, 3))
                 for c in worth[:int(constants["most_asked_back"])])


def _understood(rulebook: Rulebook, case: Case) -> Understood:
    signs = tuple(ResultSign(s.sign, rulebook.base.signs[s.sign].name, s.state, s.quote, s.start, s.end)
                  for s in case.signs if s.sign in rulebook.base.signs)
    measures = tuple(ResultMeasure(m.measure, m.value, m.unit, m.quote, m.guess or None)
                     for m in case.measures if m.origin is Origin.LETTER)
    events = tuple(ResultEvent(e.event, e.days_ago, e.quote) for e in case.events
                   if e.origin is Origin.LETTER and e.happened)
    others = tuple(ResultOtherPlant(o.group, o.signs, o.quote) for o in case.other_plants)
    plant = ResultPlant(case.plant.group or "unknown", case.plant.stage, case.plant.medium)
    return Understood(signs, plant, measures, events, others, case.not_understood)


def _records(case: Case) -> RecordsSummary | None:
    if not case.has_records:
        return None
    logged = [m for m in case.measures if m.origin in (Origin.CLIMATE_LOG, Origin.CARE_LOG)]
    return RecordsSummary(tuple(_record(case, m) for m in logged), case.notes)


def _record(case: Case, measure: Measure) -> RecordMeasure:
    until = case.date - dt.timedelta(days=measure.ended_days_ago)
    return RecordMeasure(measure.measure, round(measure.value, 4), measure.unit, measure.window_days,
                         until.isoformat())

