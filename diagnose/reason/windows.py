"""When the damage arose: the days over which the conditions held that made a cause likelier."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator

from diagnose.model.facts import Case, Origin
from diagnose.model.history import DamageWindow, StageSpan
from diagnose.model.knowledge import EventTest, MeasureTest, Shift, Shows
from diagnose.reason.engine import Firing
from diagnose.reason.grounds import Grounds
from diagnose.reason.rulebook import Rulebook
from diagnose.reason.standing import Standing

__all__ = ["damage_windows"]

_LOGGED = (Origin.CLIMATE_LOG, Origin.CARE_LOG)
_Days = tuple[dt.date, dt.date]


def damage_windows(rulebook: Rulebook, standing: Standing, cause: str, stages: Iterable[StageSpan] = ()
                   ) -> tuple[DamageWindow, ...]:
    """The windows behind all that fired in favour of a cause, the longest first, each once.

    A measure of the logs gives the window it was taken over, which ends at the onset of the trouble where that is told;
    a thing done gives its day. ``stages`` tell when a stage was whose days formed a window.
    """
    finder = _Finder(rulebook, standing, {span.stage: (span.first, span.last) for span in stages})
    found = {window: None for firing in _in_favour(rulebook, standing, cause) for window in finder.find(cause, firing)}
    return tuple(sorted(found, key=lambda window: (window.first, -window.last.toordinal(), window.name, window.shown)))


def _in_favour(rulebook: Rulebook, standing: Standing, cause: str) -> Iterator[Firing]:
    """The firings that raise the odds of a cause, and those that open a link to a sign that is there."""
    fired = {firing.rule: firing for firing in standing.firings}
    present = {rulebook.signs[number] for number in standing.observed.present}
    for rule in rulebook.base.causes[cause].rules:
        if isinstance(rule, Shift) and rule.decibans > 0 and rule.rule in fired:
            yield fired[rule.rule]
        elif isinstance(rule, Shows) and rule.sign in present and f"{rule.rule}/context" in fired:
            yield fired[f"{rule.rule}/context"]


class _Finder:
    """Turns the facts behind a firing into windows."""

    def __init__(self, rulebook: Rulebook, standing: Standing, stages: dict[str, _Days]) -> None:
        self._rulebook, self._standing, self._stages = rulebook, standing, stages
        self._grounds = Grounds(standing)
        self._onset = _onset(standing.case)

    def find(self, cause: str, firing: Firing) -> Iterator[DamageWindow]:
        """The windows of the tests on logged measures and on events behind a firing."""
        for symbol, by in self._grounds.of(firing):
            test, fact = self._rulebook.tests.get(symbol), self._standing.known[symbol]
            name = self._name(by)
            if isinstance(test, MeasureTest) and fact.origin in _LOGGED:
                days = self._measured(test)
                if days:
                    yield DamageWindow(cause, *days, name, test.request.measure, fact.shown)
            elif isinstance(test, EventTest):
                days = self._happened(test)
                if days:
                    yield DamageWindow(cause, *days, name or test.event.replace("_", " "), shown=fact.shown)

    def _name(self, firing: Firing) -> str:
        """The condition that a firing derives; empty text where a rule of a cause rests on the fact itself."""
        condition = self._rulebook.base.conditions.get(firing.gives.removeprefix("condition="))
        return condition.name if condition else ""

    def _measured(self, test: MeasureTest) -> _Days | None:
        request = test.request
        if request.during:
            return self._stages.get(request.during)
        if not request.window_days:
            return None
        last = self._onset - dt.timedelta(request.ended_days_ago)
        return last - dt.timedelta(request.window_days - 1), last

    def _happened(self, test: EventTest) -> _Days | None:
        """The day of what was done within some days; the days in which it was not done; nothing for long ago."""
        if not test.happened:
            return self._onset - dt.timedelta(test.days - 1), self._onset
        if not test.within:
            return None
        case = self._standing.case
        days = [case.date - dt.timedelta(event.days_ago) for event in case.events
                if event.event == test.event and event.happened]
        inside = [day for day in days if 0 <= (self._onset - day).days <= test.days]
        return (max(inside), max(inside)) if inside else None


def _onset(case: Case) -> dt.date:
    return case.date - dt.timedelta(case.onset_days_ago or 0)
