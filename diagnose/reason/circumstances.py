"""Which circumstance to ask about: what knowing the kind of plant, its stage or its care would tell of the causes.

The gain is the mutual information, in bits, between answer and cause where at most one cause holds. Answers are
weighed by how usual they are and by how well they agree with what was seen.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

import numpy as np

from diagnose.frozen import frozen
from diagnose.model.asking import Asking, Circumstance, CircumstanceAnswer
from diagnose.model.facts import Case, Habit, Origin, PlantContext
from diagnose.reason.belief import single_cause, single_scores
from diagnose.reason.engine import Firing
from diagnose.reason.layers import EngineRule
from diagnose.reason.network import Floats
from diagnose.reason.rulebook import Rulebook, evidence_rules
from diagnose.reason.standing import UNKNOWN_GROUP, Standing, decibans_of, moved_prior, network_of
from diagnose.reason.symbols import known_symbols
from diagnose.reason.whatif import WhatIf

__all__ = ["CircumstanceCandidate", "Circumstances", "is_known", "with_answers"]

LEAST_TOUCHED = 0.02  # probability of all causes that the answer could touch; below it is not worked out


@frozen
class CircumstanceCandidate:
    """A circumstance with its expected gain in bits and its effort."""

    question: Circumstance
    gain_bits: float
    cost: float

    @property
    def worth(self) -> float:
        """Bits per unit of effort."""
        return self.gain_bits / self.cost


@frozen
class _Moment:
    """What is the same for every answer weighed at one step."""

    standing: Standing
    belief: Floats  # [causes], where at most one holds
    evidence: Floats  # log weights [causes + 1] of what was seen, without the prior
    decibans: Floats
    contexts: frozenset[tuple[str, float]]
    known: Mapping[str, float]  # certainty of what no circumstance changes


class Circumstances:
    """The circumstances that may be asked about, with the rules and causes that each answer could touch."""

    def __init__(self, rulebook: Rulebook, asking: Asking) -> None:
        self._rulebook = rulebook
        self._asking = asking
        self._what_if = WhatIf(_telling(rulebook))
        self._touched = {(question.id, answer.say): self._what_if.touched(_symbols(rulebook, question, answer))
                         for question in asking.circumstances.values() for answer in question.answers}
        number = rulebook.cause_number
        self._causes = {key: sorted({number[cause] for cause in (rule.split("/")[0] for rule in touched.names)
                                     if cause in number}) for key, touched in self._touched.items()}

    def candidates(self, standing: Standing, asked: frozenset[str]) -> list[CircumstanceCandidate]:
        """Circumstances not asked and not known yet, the most worth asking first."""
        moment = self._moment(standing)
        cost = self._rulebook.base.scales.constants["told_effort"]
        found = [CircumstanceCandidate(question, self._gain(question, moment), cost)
                 for question in self._asking.circumstances.values()
                 if question.id not in asked and not is_known(standing.case, question)]
        return sorted(found, key=lambda candidate: (-candidate.worth, candidate.question.id))

    def _moment(self, standing: Standing) -> _Moment:
        known = {symbol: fact.certainty for symbol, fact in standing.known.items()
                 if symbol.startswith(("sign=", "event=", "measure=", "condition="))}
        evidence = single_scores(standing.network, standing.observed) - _log_odds(standing.network.prior)
        return _Moment(standing, single_cause(standing.network, standing.observed)[:-1], evidence,
                       decibans_of(self._rulebook, standing.firings), _contexts(standing.firings), known)

    def _gain(self, question: Circumstance, moment: _Moment) -> float:
        """Bits between answer and cause; answers that hardly touch a likely cause leave the belief as it is."""
        touching = [answer for answer in question.answers if float(
            moment.belief[self._causes[question.id, answer.say]].sum()) >= LEAST_TOUCHED]
        if not touching:
            return 0.0
        shares = [answer.share for answer in touching]
        scores = [self._score(question, answer, moment) for answer in touching]
        if len(touching) < len(question.answers):
            shares.append(sum(answer.share for answer in question.answers) - sum(shares))
            scores.append(_score(moment.evidence, moment.standing.network.prior))
        table = np.array(scores) + np.log(shares)[:, None]
        joint = np.exp(table - table.max())
        chance = joint.sum(axis=1)
        return _bits(chance / chance.sum(), joint / chance[:, None])

    def _score(self, question: Circumstance, answer: CircumstanceAnswer, moment: _Moment) -> Floats:
        """Log weights [causes + 1] of each cause alone together with what was seen, if that answer were given."""
        touched = self._touched[question.id, answer.say]
        before = tuple(firing for firing in moment.standing.firings if firing.rule in touched.names)
        kept = tuple(firing for firing in moment.standing.firings if firing.gives and firing.rule not in touched.names)
        after = self._fired(question, answer, moment, kept)
        change = decibans_of(self._rulebook, after) - decibans_of(self._rulebook, before)
        prior = moved_prior(self._rulebook, moment.decibans + change)
        if _contexts(kept + after) == moment.contexts:
            return _score(moment.evidence, prior)
        frequency = network_of(self._rulebook, kept + after).frequency
        network = replace(moment.standing.network, frequency=frequency)
        return _score(single_scores(network, moment.standing.observed) - _log_odds(network.prior), prior)

    def _fired(self, question: Circumstance, answer: CircumstanceAnswer, moment: _Moment,
               kept: tuple[Firing, ...]) -> tuple[Firing, ...]:
        case = moment.standing.case
        told = with_answers(replace(case, signs=(), events=(), measures=()), question, (answer,))
        group = self._rulebook.base.groups.get(told.plant.group or UNKNOWN_GROUP)
        known = {symbol: fact.certainty for symbol, fact in known_symbols(told, group, {}).items()}
        return self._what_if.run(self._touched[question.id, answer.say], {**moment.known, **known}, kept)

    def firings(self, question: Circumstance, answer: CircumstanceAnswer, standing: Standing) -> tuple[Firing, ...]:
        """Firings that matter to the network if that answer were given.

        What is told in figures stays judged by the needs of the kind of plant known so far.
        """
        touched = self._touched[question.id, answer.say]
        kept = tuple(firing for firing in standing.firings if firing.rule not in touched.names)
        return kept + self._fired(question, answer, self._moment(standing), kept)


def _telling(rulebook: Rulebook) -> list[EngineRule]:
    """Rules that give something or move odds: those of signs seen only say why."""
    return [rule for rule in evidence_rules(rulebook.base) if rule.gives or rule.name in rulebook.shifts]


def _score(evidence: Floats, prior: Floats) -> Floats:
    """Log weights [causes + 1], normalised so that what was seen stays comparable between answers."""
    return np.asarray(evidence + _log_odds(prior) - np.log1p((prior / (1.0 - prior)).sum()), dtype=np.float64)


def _log_odds(prior: Floats) -> Floats:
    """Log odds [causes + 1]; the last entry stands for "none of these"."""
    return np.append(np.log(prior) - np.log1p(-prior), 0.0)


def _contexts(firings: Iterable[Firing]) -> frozenset[tuple[str, float]]:
    return frozenset((firing.gives, firing.certainty) for firing in firings if firing.gives.startswith("context="))


def _bits(chance: Floats, causes: Floats) -> float:
    overall = chance @ causes
    told = chance @ (causes * np.log2(np.maximum(causes, 1e-300))).sum(axis=1)
    return max(0.0, float(told - (overall * np.log2(np.maximum(overall, 1e-300))).sum()))


def is_known(case: Case, question: Circumstance) -> bool:
    """Whether letter, records or an earlier answer already tell it."""
    if question.logged and case.has_records:
        return True
    told = {habit.habit for habit in case.habits}
    return not told.isdisjoint(question.habits) or any(getattr(case.plant, name) not in ("", None, UNKNOWN_GROUP)
                                                       for name in question.fields)


def with_answers(case: Case, question: Circumstance, chosen: tuple[CircumstanceAnswer, ...]) -> Case:
    """The case with what the chosen answers tell; every other habit of the question is denied."""
    quote = "; ".join(answer.say for answer in chosen)
    holding = {habit for answer in chosen for habit in answer.habits}
    habits = tuple(Habit(habit, Origin.ANSWER, habit in holding, quote=quote) for habit in question.habits)
    fields: dict[str, str] = {}
    for answer in chosen:
        fields |= answer.plant
    return replace(case, plant=_with_fields(case.plant, fields), habits=case.habits + habits)


def _with_fields(plant: PlantContext, fields: Mapping[str, str]) -> PlantContext:
    values: dict[str, object] = {name: value == "yes" if name == "reservoir" else value
                                 for name, value in fields.items()}
    origins = tuple(pair for pair in plant.origins if pair[0] not in fields)
    answered = tuple((name, Origin.ANSWER) for name in fields)
    return replace(plant, origins=origins + answered, **values)  # type: ignore[arg-type]


def _symbols(rulebook: Rulebook, question: Circumstance, answer: CircumstanceAnswer) -> set[str]:
    """Every symbol that this answer makes true or no longer unknown."""
    found = {f"habit={habit}" if habit in answer.habits else f"habit={habit}:denied" for habit in question.habits}
    for name, value in answer.plant.items():
        found |= {f"{name}=?", f"{name}={value}"}
    if "group" in answer.plant:
        kinds = [rulebook.base.groups.get(name) for name in (answer.plant["group"], UNKNOWN_GROUP)]
        found |= {"trait=?"} | {f"trait={trait}" for kind in kinds if kind for trait in kind.traits}
    return found
