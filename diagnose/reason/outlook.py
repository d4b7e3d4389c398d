"""What the records alone foretell for a bench: causes that become likelier, what they show first, what to change.

The probability of a cause is that it holds, whatever was seen: prior odds moved by the conditions that the rules derive
from the records, by signs noted in the log, by what place mates show and by what a treatment did.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from diagnose.frozen import frozen
from diagnose.model.desk import Wording
from diagnose.model.outlook import BenchPlant, Finding, Outlook, OutlookRules, PlantOutlook
from diagnose.reason.advise import advise
from diagnose.reason.formula import holds
from diagnose.reason.neighbours import Hint, hints, place_mates
from diagnose.reason.outlook_reasons import Reason, Reasons
from diagnose.reason.outlook_signs import Verdict, latest_signs, seen_days_ago, verdicts
from diagnose.reason.rulebook import Rulebook
from diagnose.reason.season import season_of_plant
from diagnose.reason.standing import Standing, stand
from diagnose.reason.symbols import formula_of

__all__ = ["outlook_of"]


def outlook_of(rulebook: Rulebook, plants: Sequence[BenchPlant], date: dt.date, wording: Wording,
               done: Callable[[int], None] = lambda number: None) -> Outlook:
    """The outlook of a bench, worst plants first. ``done`` is called with the number of plants reasoned through.

    Raises ValueError where the rule base says nothing of outlooks.
    """
    rules = rulebook.base.outlook
    if rules is None:
        raise ValueError("this rule base has no outlook.yaml")
    standings = []
    for number, plant in enumerate(plants, 1):
        standings.append(stand(rulebook, replace(plant.case, signs=latest_signs(plant.sightings))))
        done(number)
    told = hints(rulebook, rules, plants, standings)
    mates = place_mates(plants)
    views = [_View(rulebook, rules, wording, plant, standing, told[plant.plant], mates[plant.plant])
             for plant, standing in zip(plants, standings, strict=True)]
    found = [view.outlook() for view in views]
    return Outlook(date, tuple(sorted(found, key=lambda plant: -plant.cost)))


@frozen
class _Raised:
    """A cause to be named, with the reasons for it."""

    cause: str
    probability: float
    reasons: tuple[Reason, ...]


class _View:
    """One plant, reasoned through, with what its place mates tell."""

    def __init__(self, rulebook: Rulebook, rules: OutlookRules, wording: Wording, plant: BenchPlant, standing: Standing,
                 told: Sequence[Hint], mates: Sequence[str]) -> None:
        self.rulebook, self.rules, self.wording = rulebook, rules, wording
        self.plant, self.standing, self.mates = plant, standing, mates
        self.told: Mapping[str, Hint] = {hint.cause: hint for hint in told}
        self.verdicts: Mapping[str, Verdict] = {
            verdict.cause: verdict for verdict in verdicts(rulebook, rules, plant)}
        self.reasons = Reasons(rulebook, standing, wording)
        self.true = {symbol: fact.certainty for symbol, fact in standing.known.items()} | {
            firing.gives: firing.certainty for firing in standing.firings if firing.gives}

    def outlook(self) -> PlantOutlook:
        """Findings and season of the plant; ``cost`` is what waiting costs, for the order of plants."""
        base = self.rulebook.base
        raised = sorted(self._raised(), key=lambda each: -self._cost(each))[:int(self.rules.limits.most_findings)]
        season = season_of_plant(self.rulebook, self.wording, self.plant, self.standing,
                                 [each.cause for each in raised])
        group = base.groups.get(self.plant.case.plant.group)
        return PlantOutlook(
            self.plant.plant, self.plant.place, group.name if group else "", tuple(self._findings(raised)), season,
            max(map(self._cost, raised), default=0.0))

    def _cost(self, raised: _Raised) -> float:
        """What waiting a day costs."""
        cause = self.rulebook.base.causes[raised.cause]
        cost = raised.probability * self.rulebook.base.scales.urgency[cause.urgency]
        return cost * (self.rules.limits.spreads_times if cause.spreads else 1.0)

    def _raised(self) -> list[_Raised]:
        found = []
        for number, cause in enumerate(self.rulebook.causes):
            entry = self.rulebook.base.causes[cause]
            if entry.kind == "normal" or not self._concerns(cause):
                continue
            reasons = [*self._signs(number), *self.reasons.of(cause), *self._from_mates(cause), *self._treated(cause)]
            probability = self._probability(number, reasons)
            moved = _decibans(probability) - _decibans(entry.prior)
            logged = sum(reason.decibans for reason in reasons)
            limits = self.rules.limits
            if probability >= limits.least_probability and min(moved, logged) >= limits.least_decibans:
                found.append(_Raised(cause, probability, tuple(reasons)))
        return found

    def _concerns(self, cause: str) -> bool:
        return all(holds(formula_of(concern.when, perhaps=True), self.true)
                   for concern in self.rules.concerns if cause in concern.causes)

    def _probability(self, number: int, reasons: Sequence[Reason]) -> float:
        """That the cause holds: with its signs, moved further by what mates show and by what a treatment did."""
        cause = self.rulebook.causes[number]
        extra = sum(reason.decibans for reason in (*self._from_mates(cause), *self._treated(cause)))
        holds_now = float(self.standing.belief.holds[number])
        odds = holds_now / max(1e-12, 1.0 - holds_now) * math.pow(10.0, extra / 10.0)
        return odds / (1.0 + odds)

    def _signs(self, number: int) -> list[Reason]:
        """Signs of the log that the cause shows, each counted with what all of them did to its odds."""
        network, signs = self.standing.network, []
        for sign in self.standing.observed.present:
            if network.frequency[number, sign]:
                signs.append(self.rulebook.signs[sign])
        if not signs:
            return []
        moved = _decibans(float(self.standing.belief.holds[number])) - _decibans(float(network.prior[number]))
        return [Reason(self._seen(number, sign), moved / len(signs)) for sign in signs]

    def _seen(self, number: int, sign: str) -> str:
        entry = self.rulebook.base.causes[self.rulebook.causes[number]]
        why = next((rule.claim.why for rule in entry.shows if rule.sign == sign), "")
        days = seen_days_ago(self.plant.sightings, sign)
        name = self.rulebook.base.signs[sign].name
        return self.wording.say("sign" if days else "sign_today", days=days, sign=name, why=why).strip()

    def _from_mates(self, cause: str) -> list[Reason]:
        hint = self.told.get(cause)
        if hint is None:
            return []
        key = "neighbour_has_it" if hint.spreads else "shared_place"
        return [Reason(self.wording.say(key, place=self.plant.place, plants=self._named(hint.plants)), hint.decibans)]

    def _treated(self, cause: str) -> list[Reason]:
        verdict = self.verdicts.get(cause)
        if verdict is None:
            return []
        key, moves = ("still_there", self.rules.moves.still_there) if verdict.still_there else (
            "gone", self.rules.moves.gone)
        treatment = verdict.round.treatment
        text = self.wording.say(key, treatment=treatment.id, days=verdict.round.days_ago,
                                due=treatment.judged_after_days)
        return [Reason(text, moves)]

    def _findings(self, raised: Sequence[_Raised]) -> list[Finding]:
        advice = advise(self.rulebook, self.standing, [each.cause for each in raised]) if raised else {}
        found = []
        for each in raised:
            entry = self.rulebook.base.causes[each.cause]
            found.append(Finding(
                entry.id, entry.name, entry.kind, round(each.probability, 4), entry.prior, entry.urgency,
                tuple(reason.text for reason in each.reasons), self._first(each.cause),
                (*advice[each.cause].do, *self._inspect(each)), advice[each.cause].do_not,
                tuple(self.rulebook.base.cautions[caution].text for caution in entry.cautions)))
        return found

    def _first(self, cause: str) -> str:
        """What the cause shows first, and when; nothing where one of its signs is there already."""
        number, lead = self.rulebook.cause_number[cause], self.rules.leads.get(cause)
        if self._signs(number):
            return ""
        if lead:
            return self.wording.say("first", sign=self.rulebook.base.signs[lead.sign].name.lower(), low=lead.days.low,
                                    high=lead.days.high)
        sign = self.rulebook.signs[int(self.rulebook.direct[number].argmax())]
        return self.wording.say("first_open", sign=self.rulebook.base.signs[sign].name.lower())

    def _inspect(self, raised: _Raised) -> list[str]:
        """The neighbours to look over, where a spreading cause is on this plant by its own signs."""
        spreads = self.rulebook.base.causes[raised.cause].spreads
        shown = self._signs(self.rulebook.cause_number[raised.cause])
        if not spreads or not shown or not self.mates:
            return []
        return [self.wording.say("inspect", place=self.plant.place, plants=self._named(self.mates))]

    def _named(self, plants: Sequence[str]) -> str:
        most = int(self.rules.limits.most_neighbours)
        named = ", ".join(plants[:most])
        more = len(plants) - most
        return self.wording.say("and_more", plants=named, more=more) if more > 0 else named


def _decibans(probability: float) -> float:
    safe = min(max(probability, 1e-9), 1.0 - 1e-9)
    return 10.0 * math.log10(safe / (1.0 - safe))
