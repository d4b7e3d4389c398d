"""What the next weeks ask for on one plant: tasks of the season, of its stage and of what was done, with their days.

Tests are judged anew for each week ahead, with the season of that week and with things done by then so much longer ago;
what the logs measured is taken to last.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from diagnose.model.desk import Wording
from diagnose.model.facts import Case, Event, State
from diagnose.model.knowledge import EventTest
from diagnose.model.outlook import BenchPlant, Days, OutlookRules, SeasonTask, TaskDue
from diagnose.reason.advise import figures_of, filled
from diagnose.reason.formula import holds
from diagnose.reason.outlook_signs import Round, last_rounds, latest_signs, seen_days_ago
from diagnose.reason.rulebook import Rulebook
from diagnose.reason.standing import Standing
from diagnose.reason.symbols import formula_of, known_symbols, leaf_tests, symbol_of

__all__ = ["season_of_plant"]

WEEK = 7
OVERDUE_DAYS = 21  # what was due longer ago has been forgotten or done without a note
GRACE_DAYS = 3  # what is overdue is asked for within these days
DAY = dt.timedelta(days=1)


def season_of_plant(rulebook: Rulebook, wording: Wording, plant: BenchPlant, standing: Standing,
                    raised: Sequence[str]) -> tuple[TaskDue, ...]:
    """The tasks of the weeks ahead, soonest first. ``raised`` are the causes named for the plant, worst first."""
    rules = rulebook.base.outlook
    assert rules is not None, "an outlook is asked of a rule base that has one"
    weeks = _Weeks(rulebook, plant.case, standing, int(rules.limits.season_days))
    figures = figures_of(plant.case, standing.group)
    found = [due for task in rulebook.base.season if (due := _due(weeks, task, figures))]
    found += _treatments(rules, wording, plant, weeks.horizon)
    found += _looks(rulebook, wording, plant, raised, weeks.horizon)
    return tuple(sorted(found, key=lambda due: (due.first, due.last, due.do)))


class _Weeks:
    """What is true of a plant now and in each week ahead."""

    def __init__(self, rulebook: Rulebook, case: Case, standing: Standing, days: int) -> None:
        self.case, self.horizon = case, Days(0, days)
        leaves = [leaf for task in rulebook.base.season for leaf in leaf_tests(task.when)]
        dated = {symbol_of(leaf): leaf for leaf in leaves if isinstance(leaf, EventTest)}
        lasting = {symbol for symbol in standing.known if not symbol.startswith(("event=", "season="))}
        lasting |= {firing.gives for firing in standing.firings if firing.gives}
        self.true = {ahead: lasting | set(known_symbols(_aged(case, ahead), standing.group, dated))
                     for ahead in range(0, days + 1, WEEK)}

    def holding(self, task: SeasonTask) -> Days | None:
        """The first run of days ahead on which the task's tests hold."""
        formula = formula_of(task.when)
        weeks = [ahead for ahead, true in self.true.items() if holds(formula, true)]
        if not weeks:
            return None
        last = weeks[0]
        while last + WEEK in weeks:
            last += WEEK
        return Days(weeks[0], min(last + WEEK - 1, self.horizon.high))


def _aged(case: Case, days: int) -> Case:
    """The case so many days later, if nothing more were done."""
    events = tuple(replace(event, days_ago=event.days_ago + days) for event in case.events)
    return replace(case, date=case.date + days * DAY, events=events)


def _due(weeks: _Weeks, task: SeasonTask, figures: Mapping[str, str]) -> TaskDue | None:
    window: Days | None = weeks.holding(task)
    if window and task.after:
        window = _both(window, _after_event(weeks.case, task))
    elif window and task.first and task.last:
        window = _both(window, _span_ahead(weeks.case, task.first, task.last, weeks.horizon.high))
    elif window and task.for_days:
        window = _both(window, Days(0, task.for_days))
    do = filled(task.do, "", figures)
    because = filled(task.because, task.otherwise, figures)
    if window is None or not do or not because:
        return None
    date = weeks.case.date
    return TaskDue(date + window.low * DAY, date + window.high * DAY, do, because)


def _both(one: Days, other: Days | None) -> Days | None:
    if other is None:
        return None
    low, high = max(one.low, other.low), min(one.high, other.high)
    return Days(low, high) if low <= high else None


def _after_event(case: Case, task: SeasonTask) -> Days | None:
    """The days ahead that a task counts from the last thing done of its kind."""
    if task.after is None:
        return None
    last = min((event.days_ago for event in case.events if _is_of(event, task)), default=None)
    return None if last is None else Days(task.after.days.low - last, task.after.days.high - last)


def _is_of(event: Event, task: SeasonTask) -> bool:
    if task.after is None or event.event != task.after.event or not event.happened:
        return False
    return not task.after.words or any(word in event.quote.casefold() for word in task.after.words)


def _span_ahead(case: Case, first: tuple[int, int], last: tuple[int, int], horizon: int) -> Days | None:
    """The days ahead that lie in a span of the year; None where the hemisphere is unknown."""
    if not case.plant.hemisphere:
        return None
    south = case.plant.hemisphere == "south"
    for year in (case.date.year - 1, case.date.year, case.date.year + 1):
        start = _day(year, first, south)
        end = _day(year + (last < first), last, south)
        low, high = (start - case.date).days, (end - case.date).days
        if high >= 0 and low <= horizon:
            return Days(low, high)
    return None


def _day(year: int, month_day: tuple[int, int], south: bool) -> dt.date:
    """A day of the northern year, half a year later in the south; a day that a month lacks is its last."""
    month, day = month_day
    month += 6 if south else 0
    year, month = year + (month > 12), (month - 1) % 12 + 1
    while True:
        try:
            return dt.date(year, month, day)
        except ValueError:
            day -= 1


def _window(case: Case, days_ago: int, after: Days, horizon: Days) -> tuple[dt.date, dt.date] | None:
    """The days ahead that begin so long after something; what is overdue is asked for now, what is forgotten is not."""
    low, high = after.low - days_ago, after.high - days_ago
    if high < -OVERDUE_DAYS or low > horizon.high:
        return None
    low = max(low, 0)
    return case.date + low * DAY, case.date + max(high, low + GRACE_DAYS if high < 0 else low) * DAY


def _treatments(rules: OutlookRules, wording: Wording, plant: BenchPlant, horizon: Days) -> Iterable[TaskDue]:
    """Rounds to repeat, and after the last round the look that tells whether it worked."""
    for last in last_rounds(rules, plant.case):
        kind = last.treatment
        if last.number < kind.rounds:
            window = _window(plant.case, last.days_ago, kind.repeat, horizon)
            if window:
                yield TaskDue(*window, wording.say("treat_again", treatment=kind.id, round=last.number + 1,
                                                   rounds=kind.rounds),
                              wording.say("treat_again_because", low=kind.repeat.low, high=kind.repeat.high))
        elif not _looked_at_since(plant, last):
            judged = Days(kind.judged_after_days, kind.judged_after_days + WEEK)
            window = _window(plant.case, last.days_ago, judged, horizon)
            if window:
                yield TaskDue(*window, wording.say("look_after_treating"),
                              wording.say("look_after_treating_because", treatment=kind.id, days=last.days_ago,
                                          due=kind.judged_after_days))


def _looked_at_since(plant: BenchPlant, last: Round) -> bool:
    due = last.days_ago - last.treatment.judged_after_days
    return any(look.days_ago <= due for look in plant.sightings)


def _looks(rulebook: Rulebook, wording: Wording, plant: BenchPlant, raised: Sequence[str], horizon: Days
           ) -> Iterable[TaskDue]:
    """A second look at what was seen, when the likeliest cause that shows it says so; treated plants have their own."""
    signs = [seen.sign for seen in latest_signs(plant.sightings) if seen.state is State.PRESENT]
    if not signs or any(event.event == "treat" and event.happened for event in plant.case.events):
        return
    causes = [rulebook.base.causes[cause] for cause in raised]
    for cause in causes:
        shown = [sign for sign in signs if any(rule.sign == sign for rule in cause.shows)]
        if shown:
            days = min(seen_days_ago(plant.sightings, sign) for sign in shown)
            due = cause.look_again_days
            window = _window(plant.case, days, Days(due, due + WEEK), horizon)
            if window:
                names = ", ".join(rulebook.base.signs[sign].name.lower() for sign in shown)
                yield TaskDue(*window, wording.say("look_again", sign=names),
                              wording.say("look_again_because", days=days, due=due))
            return
