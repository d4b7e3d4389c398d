"""Turns tests of the rule base into formulas over symbols, and facts of a case into the symbols that are true.

Thresholds, days and absences are decided here, so that the engine only ever sees symbols.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from diagnose.frozen import frozen
from diagnose.model.facts import Case, Measure, Origin, State
from diagnose.model.figures import in_figures
from diagnose.model.knowledge import AllOf, AnyOf, Atom, EventTest, Group, MeasureTest, Test
from diagnose.model.seasons import season_of
from diagnose.reason.formula import And, Formula, Not, Or, Symbol

__all__ = ["Known", "formula_of", "known_symbols", "leaf_tests", "looked_at", "symbol_of"]

GUESS_CERTAINTY = 0.5  # of a context of which nothing is known
PLANT_KINDS = ("group", "trait", "stage", "medium", "size", "place", "season", "reservoir")
TOLD_CERTAINTY = 0.9  # of the kind of plant, its stage and its pot when only the letter's words tell them


@frozen
class Known:
    """Why a symbol is true: how certain, where from, and the words or figure behind it."""

    certainty: float
    origin: Origin
    shown: str = ""


def looked_at(sign: str) -> str:
    """The symbol that a sign was looked for, whatever was found."""
    return f"sign={sign}:looked"


def _value_symbol(kind: str, value: str, wanted: bool) -> str:
    if kind == "sign":
        return f"sign={value}:{'present' if wanted else 'absent'}"
    return f"{kind}={value}" if wanted else f"{kind}={value}:denied"


def symbol_of(test: EventTest | MeasureTest) -> str:
    """The symbol of a test on days or on a measure."""
    if isinstance(test, EventTest):
        verb = "within" if test.within else "longer"
        return f"event={'' if test.happened else 'no '}{test.event}:{verb}:{test.days}"
    request, bound = test.request, test.bound
    window = request.during or f"{request.window_days}/{request.ended_days_ago}"
    return f"measure={request.measure}:{window}:{'above' if test.above else 'below'}:{bound.need}{bound.value:+g}"


def formula_of(test: Test, *, perhaps: bool = False) -> Formula:
    """The formula of a test. A condition that must not hold is negated; other denials are symbols of their own.

    With ``perhaps`` a test on the plant (its kind, stage, pot, place) also passes, at the certainty of a guess,
    while nothing is known of that: unknown is not "no".
    """
    match test:
        case AllOf(tests):
            return And(tuple(formula_of(part, perhaps=perhaps) for part in tests))
        case AnyOf(tests):
            return Or(tuple(formula_of(part, perhaps=perhaps) for part in tests))
        case Atom(kind="condition", values=values, wanted=wanted):
            some = Or(tuple(Symbol(f"condition={value}") for value in values))
            return some if wanted else Not(some)
        case Atom(kind=kind, values=values, wanted=wanted):
            symbols = [Symbol(_value_symbol(kind, value, wanted)) for value in values]
            if perhaps and kind in PLANT_KINDS:
                symbols.append(Symbol(f"{kind}=?"))
            return Or(tuple(symbols))
        case EventTest() | MeasureTest():
            return Symbol(symbol_of(test))


def leaf_tests(test: Test) -> Iterable[EventTest | MeasureTest]:
    """The tests on days and measures inside a test."""
    match test:
        case AllOf(tests) | AnyOf(tests):
            for part in tests:
                yield from leaf_tests(part)
        case EventTest() | MeasureTest():
            yield test
        case Atom():
            return


def known_symbols(case: Case, group: Group | None, tests: Mapping[str, EventTest | MeasureTest]) -> dict[str, Known]:
    """Every symbol that is true of the case. ``tests`` are all tests on days and measures, by symbol."""
    known: dict[str, Known] = {}
    _add_signs(known, case)
    _add_plant(known, case, group)
    for habit in case.habits:
        _put(known, _value_symbol("habit", habit.habit, habit.holds), Known(habit.certainty, habit.origin, habit.quote))
    told = {event.event for event in case.events} | {measure.measure for measure in case.measures}
    for symbol, test in tests.items():
        if isinstance(test, EventTest):
            found = _event(case, test) if test.event in told else None
        else:
            found = _measured(case, group, test) if test.request.measure in told else None
        if found:
            _put(known, symbol, found)
    return known


def _put(known: dict[str, Known], symbol: str, value: Known) -> None:
    if symbol not in known or known[symbol].certainty < value.certainty:
        known[symbol] = value


def _add_signs(known: dict[str, Known], case: Case) -> None:
    for seen in case.signs:
        if seen.state is State.UNSURE:
            continue
        _put(known, f"sign={seen.sign}:{seen.state}", Known(seen.certainty, seen.origin, seen.quote))
        _put(known, looked_at(seen.sign), Known(1.0, seen.origin, seen.quote))


def _add_plant(known: dict[str, Known], case: Case, group: Group | None) -> None:
    plant = case.plant
    origins = dict(plant.origins)
    values = {"group": plant.group, "stage": plant.stage, "medium": plant.medium, "size": plant.size,
              "place": plant.place, "season": case.season or season_of(case.date, plant.hemisphere),
              "reservoir": "" if plant.reservoir is None else ("yes" if plant.reservoir else "no")}
    for kind, value in values.items():
        if value:
            origin = origins.get(kind, Origin.PLANT)
            certainty = TOLD_CERTAINTY if origin is Origin.LETTER else 1.0
            _put(known, f"{kind}={value}", Known(certainty, origin, value))
        else:
            known[f"{kind}=?"] = Known(GUESS_CERTAINTY, Origin.PLANT)
    if not group or not plant.group:
        known["trait=?"] = Known(GUESS_CERTAINTY, Origin.PLANT)
    for trait in group.traits if group else ():
        _put(known, f"trait={trait}", Known(1.0, Origin.PLANT, group.name if group else ""))


def _event(case: Case, test: EventTest) -> Known | None:
    """A test on days, counted back from the onset of the trouble where that is told; what came later is no cause."""
    onset = case.onset_days_ago or 0
    found: Known | None = None
    for event in case.events:
        before = event.days_ago - onset
        if event.event != test.event or event.happened != test.happened or before < 0:
            continue
        inside = before >= test.days if not test.happened or not test.within else before <= test.days
        if test.happened and not test.within and not inside:
            return None
        if inside and (found is None or event.certainty > found.certainty):
            found = Known(event.certainty, event.origin, event.quote or f"{event.days_ago} days ago")
    return found


def _measured(case: Case, group: Group | None, test: MeasureTest) -> Known | None:
    limit = test.bound.value
    if test.bound.need:
        need = group.needs.get(test.bound.need) if group else None
        if need is None:
            return None
        limit += need.value
    best = max((measure for measure in case.measures if _answers(measure, test, case.onset_days_ago or 0)),
               key=lambda measure: measure.certainty, default=None)
    if best is None or not (best.value > limit if test.above else best.value < limit):
        return None
    unit = {"C": "°C"}.get(best.unit, best.unit)
    return Known(best.certainty, best.origin, f"{in_figures(best.value)} {unit}")


def _answers(measure: Measure, test: MeasureTest, onset_days_ago: int) -> bool:
    """Whether a measure is the one a test asks for: what is told has no window and answers for any.

    Windows end at the onset of the trouble where it is told.
    """
    request = test.request
    if measure.measure != request.measure:
        return False
    if measure.origin in (Origin.LETTER, Origin.ANSWER) or not (request.window_days or request.during):
        return True
    if request.during:
        return measure.during == request.during
    return (measure.window_days, measure.ended_days_ago) == (
        request.window_days, request.ended_days_ago + onset_days_ago)
