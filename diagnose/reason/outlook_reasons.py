"""Why the records make a cause likelier: conditions with the figures and happenings behind them, in plain sentences."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from diagnose.frozen import frozen
from diagnose.model.desk import Wording
from diagnose.model.facts import Case, Origin
from diagnose.model.knowledge import Shift
from diagnose.model.when import AllOf, AnyOf, Atom, EventTest, MeasureTest, Test
from diagnose.reason.engine import Firing
from diagnose.reason.formula import holds
from diagnose.reason.rulebook import Rulebook
from diagnose.reason.standing import Standing, shift_decibans
from diagnose.reason.symbols import formula_of, symbol_of

__all__ = ["Reason", "Reasons"]

LOGGED = (Origin.CLIMATE_LOG, Origin.CARE_LOG)
MOST_FIGURES = 2


@frozen
class Reason:
    """A sentence, and by how many decibans what it tells moves the odds."""

    text: str
    decibans: float


class Reasons:
    """Explains the shifts of one plant that rest on its logs."""

    def __init__(self, rulebook: Rulebook, standing: Standing, wording: Wording) -> None:
        self._rulebook, self._standing, self._wording = rulebook, standing, wording
        self._fired = {firing.rule: firing for firing in standing.firings}
        self._true = {*standing.known, *(firing.gives for firing in standing.firings if firing.gives)}

    def of(self, cause: str) -> list[Reason]:
        """The reasons in favour of a cause that the logs give, strongest first; one for each condition."""
        found: dict[str, Reason] = {}
        for shift in self._rulebook.base.causes[cause].shifts:
            firing = self._fired.get(shift.rule)
            if firing is None or shift.decibans <= 0:
                continue
            facts = self._logged(shift)
            decibans = shift_decibans(self._rulebook, shift, firing)
            if facts:
                title = self._title(firing)
                known = found.get(title or facts[0])
                text = known.text if known else self._sentence(title, facts, shift.claim.why)
                found[title or facts[0]] = Reason(text, decibans + (known.decibans if known else 0.0))
        return sorted(found.values(), key=lambda reason: -reason.decibans)

    def _sentence(self, title: str, facts: list[str], why: str) -> str:
        figures = self._wording.say("between").join(facts[:MOST_FIGURES])
        if not title:
            return self._wording.say("reason_of_figures", figures=figures, why=why)
        return self._wording.say("reason", title=title, figures=figures, why=why)

    def _title(self, firing: Firing) -> str:
        names = (symbol.removeprefix("condition=") for symbol in firing.matched if symbol.startswith("condition="))
        return next((self._rulebook.base.conditions[name].name for name in names), "")

    def _logged(self, shift: Shift) -> list[str]:
        """What the logs say behind a shift, each in words: of several ways to a condition the first in its file."""
        found = []
        for test in self._leaves(shift.when):
            known = self._standing.known[symbol_of(test)]
            if known.origin in LOGGED and isinstance(test, MeasureTest):
                found.append(self._figure(test, known.shown))
            elif known.origin in LOGGED and isinstance(test, EventTest):
                found.append(self._happening(test))
        return list(dict.fromkeys(found))

    def _leaves(self, test: Test) -> Iterator[EventTest | MeasureTest]:
        """The tests on days and measures that hold and by which a test does, through any number of conditions."""
        match test:
            case AllOf(parts):
                for part in parts:
                    yield from self._leaves(part)
            case AnyOf(parts):
                way = next((part for part in parts if holds(formula_of(part), self._true)), None)
                yield from self._leaves(way) if way else ()
            case Atom(kind="condition", values=names, wanted=True):
                for name in names:
                    if f"condition={name}" in self._true:
                        yield from self._leaves(self._rulebook.base.conditions[name].when)
            case EventTest() | MeasureTest():
                if symbol_of(test) in self._standing.known:
                    yield test
            case Atom():
                return

    def _figure(self, test: MeasureTest, shown: str) -> str:
        kind, request = self._rulebook.base.measures[test.request.measure], test.request
        values = {"name": kind.name, "value": shown, "limit": self._limit(test, kind.unit)}
        if request.during:
            return self._wording.say("figure_during", stage=request.during.replace("_", " "), **values)
        if request.window_days:
            return self._wording.say("figure", days=request.window_days, **values)
        return self._wording.say("figure_now", **values)

    def _limit(self, test: MeasureTest, unit: str) -> str:
        """What the group wants where the bound is a need of it, whatever leeway the rule gives; else the bound."""
        group, unit = self._standing.group, "°C" if unit == "C" else unit
        need = group.needs.get(test.bound.need) if group and test.bound.need else None
        if need:
            key = "wanted_at_most" if test.above else "wanted_at_least"
            return self._wording.say(key, need=f"{need.value:g} {unit}")
        return self._wording.say("counts_above" if test.above else "counts_below", limit=f"{test.bound.value:g} {unit}")

    def _happening(self, test: EventTest) -> str:
        did = self._wording.say(f"did_{test.event}")
        days = _days_ago(self._standing.case, test)
        if not test.happened:
            return self._wording.say("not_happened", did=did, days=days)
        return self._wording.say("happened" if days else "happened_today", did=did, days=days)


def _days_ago(case: Case, test: EventTest) -> int:
    """How long ago the happening was that a test found: the last, or for what was not done, for how long."""
    found: Iterable[int] = (event.days_ago for event in case.events
                            if event.event == test.event and event.happened == test.happened)
    return min(found, default=0) if test.happened else max(found, default=0)
