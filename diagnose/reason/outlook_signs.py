"""What was seen on a plant, look by look, and what a treatment did to it by the time it was due to show."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Sequence
from dataclasses import replace

from diagnose.frozen import frozen
from diagnose.model.facts import Case, SeenSign, State
from diagnose.model.outlook import BenchPlant, OutlookRules, Sighting, Treatment
from diagnose.reason.rulebook import Rulebook

__all__ = ["Round", "Verdict", "last_rounds", "latest_signs", "seen_days_ago", "verdicts"]

SIGHT_DAYS = 60  # what was seen longer ago need not be there any more
BEFORE_DAYS = 60  # signs that led to a treatment were seen within so many days before it


@frozen
class Round:
    """The last round of a kind of treatment, and the how manieth of its series it was."""

    treatment: Treatment
    days_ago: int
    number: int


@frozen
class Verdict:
    """What a look after the due time of a treatment says of a cause it acts on: its signs are still there, or gone."""

    cause: str
    round: Round
    still_there: bool


def latest_signs(sightings: Iterable[Sighting]) -> tuple[SeenSign, ...]:
    """The last state of each sign seen within sixty days. A look that found nothing makes all before it absent."""
    found: dict[str, SeenSign] = {}
    for look in _in_order(sightings):
        if look.days_ago > SIGHT_DAYS:
            continue
        if look.clean:
            found = {sign: replace(seen, state=State.ABSENT) for sign, seen in found.items()}
        found |= {seen.sign: seen for seen in look.signs}
    return tuple(found.values())


def seen_days_ago(sightings: Iterable[Sighting], sign: str) -> int:
    """How many days ago a sign was last seen, 0 where it never was."""
    return min((look.days_ago for look in sightings if _present(look, {sign})), default=0)


def last_rounds(rules: OutlookRules, case: Case) -> tuple[Round, ...]:
    """The last round of each kind of treatment that the care log tells of, told by the words of its rows.

    Rounds further apart than a week over the longest interval are of different series.
    """
    days: dict[str, list[int]] = {}
    for event in case.events:
        if event.event == "treat" and event.happened:
            treatment = _treatment(rules, event.quote)
            if treatment:
                days.setdefault(treatment.id, []).append(event.days_ago)
    return tuple(_round(treatment, sorted(set(days[treatment.id])))
                 for treatment in rules.treatments if treatment.id in days)


def _treatment(rules: OutlookRules, detail: str) -> Treatment | None:
    said = set(re.findall(r"\w+", detail.casefold()))
    return next((treatment for treatment in rules.treatments if said.intersection(treatment.words)), None)


def _round(treatment: Treatment, days: Sequence[int]) -> Round:
    number = 1
    while number < len(days) and days[number] - days[number - 1] <= treatment.repeat.high + 7:
        number += 1
    return Round(treatment, days[0], number)


def verdicts(rulebook: Rulebook, rules: OutlookRules, plant: BenchPlant) -> tuple[Verdict, ...]:
    """For each treatment whose effect was due and was looked for: whether the signs of what it acts on are still there.

    Nothing is said of a cause of which no sign was seen before the treatment, nor where nobody looked after it.
    """
    found = []
    for last in last_rounds(rules, plant.case):
        due = last.days_ago - last.treatment.judged_after_days
        before = [look for look in plant.sightings
                  if last.days_ago <= look.days_ago <= last.days_ago + BEFORE_DAYS]
        after = [look for look in plant.sightings if look.days_ago <= due]
        for cause in last.treatment.against:
            signs = {rule.sign for rule in rulebook.base.causes[cause].shows}
            seen = {seen.sign for look in before for seen in look.signs
                    if seen.state is State.PRESENT and seen.sign in signs}
            if seen and after:
                found += _judged(cause, last, after, seen)
    return tuple(found)


def _judged(cause: str, last: Round, after: Sequence[Sighting], seen: Collection[str]) -> list[Verdict]:
    latest = _in_order(after)[-1]
    if _present(latest, seen):
        return [Verdict(cause, last, still_there=True)]
    told = {each.sign for look in after for each in look.signs}
    gone = latest.clean or all(sign in told for sign in seen)
    return [Verdict(cause, last, still_there=False)] if gone else []


def _present(look: Sighting, signs: Collection[str]) -> bool:
    return any(seen.state is State.PRESENT and seen.sign in signs for seen in look.signs)


def _in_order(sightings: Iterable[Sighting]) -> list[Sighting]:
    return sorted(sightings, key=lambda look: -look.days_ago)
