"""How things stand in one case: what fired, the network it made, and the belief that follows."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

import numpy as np

from diagnose.frozen import frozen
from diagnose.model.facts import Case, Origin, SeenSign, State
from diagnose.model.knowledge import Group, Shift
from diagnose.reason.belief import MOST_EXACT, Belief, Variant, believe_variants, damping_factor
from diagnose.reason.cause_sets import CauseSets, best_explanation, enumerate_sets, from_sets, search_sets
from diagnose.reason.engine import Firing
from diagnose.reason.findings import Finding, findings_of, remark_of
from diagnose.reason.misfit import nothing_fits
from diagnose.reason.network import Floats, Network, Observed, comparable
from diagnose.reason.rulebook import Rulebook
from diagnose.reason.symbols import Known, known_symbols

__all__ = ["UNKNOWN_GROUP", "Standing", "decibans_of", "moved_prior", "network_of", "prior_of",
           "shift_decibans", "stand"]

LEAST_PRIOR, MOST_PRIOR = 1e-7, 0.9
UNKNOWN_GROUP = "unknown"  # the group with cautious middle values that every rule base has


@frozen
class Standing:
    """A case reasoned through. ``probability`` [causes] is damped and comparable, ``belief`` exact.

    ``without`` holds each finding with the belief if it is left out; empty where no explanation is asked for.
    """

    case: Case
    group: Group | None
    known: Mapping[str, Known]
    firings: tuple[Firing, ...]
    network: Network
    observed: Observed
    belief: Belief
    without: tuple[tuple[Finding, Belief], ...]
    sets: CauseSets
    probability: Floats
    best: tuple[int, ...]
    unexplained: tuple[int, ...]
    nothing_fits: float
    approximate: bool


def stand(rulebook: Rulebook, case: Case, given: Iterable[str] = (), *, explained: bool = False) -> Standing:
    """Chain the rules over the facts of a case and work out what to believe.

    ``given`` are ids of conditions taken as holding, whatever the facts say. ``explained``: what each finding does to
    the belief is worked out too, in the same sweep.
    """
    group = rulebook.base.groups.get(case.plant.group or UNKNOWN_GROUP)
    told = _with_asked_about(case, rulebook.base.scales.constants["asked_about"])
    known = known_symbols(told, group, rulebook.tests)
    known |= {f"condition={condition}": Known(1.0, Origin.PLANT) for condition in given}
    firings = rulebook.evidence_chainer.run({symbol: fact.certainty for symbol, fact in known.items()})
    observed = _observed(rulebook, told)
    network = _as_told(rulebook, network_of(rulebook, firings), known, observed)
    findings = findings_of(rulebook, case, observed) if explained else ()
    belief, without, sets = _believe(network, observed, findings)
    best = best_explanation(network, observed, sets, rulebook.base.scales.constants["companion_from"])
    unexplained = tuple(sign for sign in observed.present if not network.frequency[list(best), sign].any())
    return Standing(case, group, known, firings, network, observed, belief, without, sets,
                    comparable(_damped(rulebook, case, network, observed, belief)), best, unexplained,
                    nothing_fits(rulebook.base.scales.constants, network, observed, best, belief.unaccounted),
                    len(observed.present) > MOST_EXACT)


def _with_asked_about(case: Case, certainty: float) -> Case:
    """The case as it is reasoned on: where no sign is told as there, those a letter wonders about count a little."""
    if any(seen.state is State.PRESENT for seen in case.signs):
        return case
    asked = tuple(replace(seen, state=State.PRESENT, certainty=seen.certainty * certainty)
                  if seen.state is State.UNSURE and seen.origin is Origin.LETTER else seen for seen in case.signs)
    return replace(case, signs=asked)


def _believe(network: Network, observed: Observed, findings: tuple[Finding, ...]
             ) -> tuple[Belief, tuple[tuple[Finding, Belief], ...], CauseSets]:
    if len(observed.present) > MOST_EXACT:
        sets = search_sets(network, observed)
        return from_sets(network, observed, sets), (), sets
    belief, *beliefs = believe_variants(network, observed, [Variant(), *(finding.left_out for finding in findings)])
    accounts = comparable(belief.accounts)
    leading = sorted(network.subset(observed.present), key=lambda cause: -float(accounts[cause]))
    return belief, tuple(zip(findings, beliefs, strict=True)), enumerate_sets(network, observed, tuple(leading))


def network_of(rulebook: Rulebook, firings: Iterable[Firing]) -> Network:
    """The network of a case: priors moved by the shifts that fired, links whose context holds."""
    fired = tuple(firings)
    frequency = rulebook.direct.copy()
    for firing in fired:
        rule = rulebook.contexts.get(firing.gives)
        if rule:
            cell = rulebook.cells[rule.rule]
            frequency[cell] = max(frequency[cell], rule.frequency * firing.certainty)
    return Network(prior_of(rulebook, fired), rulebook.background, _with_implied(rulebook, frequency))


def _as_told(rulebook: Rulebook, network: Network, known: Mapping[str, Known], observed: Observed) -> Network:
    """The network with a chance that a finding is wrong: a sign read in a letter that is not there at all, the less
    certain the greater, and an answer that should have been the other way round, as far as it is not certain."""
    constants = rulebook.base.scales.constants
    background, frequency = network.background.copy(), network.frequency.copy()
    for number in observed.present:
        fact = known[f"sign={rulebook.signs[number]}:present"]
        wrong = {Origin.LETTER: constants["misread"] + constants["misread_unsure"] * (1.0 - fact.certainty),
                 Origin.ANSWER: 1.0 - fact.certainty}.get(fact.origin, 0.0)
        background[number] = 1.0 - (1.0 - background[number]) * (1.0 - min(wrong, 0.5))
    for number in observed.absent:
        fact = known[f"sign={rulebook.signs[number]}:absent"]
        if fact.origin is Origin.ANSWER:
            frequency[:, number] *= fact.certainty
    return Network(network.prior, background, frequency)


def prior_of(rulebook: Rulebook, firings: Iterable[Firing]) -> Floats:
    """Prior probabilities [causes], moved by the shifts that fired."""
    return moved_prior(rulebook, decibans_of(rulebook, firings))


def decibans_of(rulebook: Rulebook, firings: Iterable[Firing]) -> Floats:
    """By how much the shifts that fired move the odds of each cause, in decibans [causes]."""
    decibans = np.zeros(len(rulebook.causes))
    for firing in firings:
        shift = rulebook.shifts.get(firing.rule)
        if shift:
            decibans[rulebook.shifted[firing.rule]] += shift_decibans(rulebook, shift, firing)
    return decibans


def moved_prior(rulebook: Rulebook, decibans: Floats) -> Floats:
    """Prior probabilities [causes] of the rule base, their odds moved by so many decibans."""
    odds = rulebook.prior / (1.0 - rulebook.prior) * 10.0 ** (decibans / 10.0)
    return np.asarray(np.clip(odds / (1.0 + odds), LEAST_PRIOR, MOST_PRIOR), dtype=np.float64)


def shift_decibans(rulebook: Rulebook, shift: Shift, firing: Firing) -> float:
    """By how much a fired shift moves the odds: less where its facts are only told.

    Nothing is ruled out by a letter's wording alone: then "strongly" is the most.
    """
    if shift.kind == "ruled_out_by" and firing.certainty < 1.0:
        return -rulebook.base.scales.how_much_decibans["strongly"] * firing.certainty
    return shift.decibans * firing.certainty


def _with_implied(rulebook: Rulebook, frequency: Floats) -> Floats:
    """Links along "implies": whoever shows the special form shows the general one; the reverse only at a share."""
    share = rulebook.base.scales.constants["implied_share"]
    special, general = rulebook.implied_pairs
    shown, shared = frequency[:, special], share * frequency[:, general]
    result = frequency.copy()
    np.maximum.at(result.T, general, shown.T)
    np.maximum.at(result.T, special, np.where(shown == 0, shared, 0.0).T)
    return result


def _observed(rulebook: Rulebook, case: Case) -> Observed:
    """Signs seen and not seen; what a more special sign implies, or a more general denial covers, counts once."""
    states: dict[str, SeenSign] = {}
    for seen in case.signs:
        if seen.state is State.UNSURE or seen.sign not in rulebook.sign_number:
            continue
        held = states.get(seen.sign)
        if held is None or (seen.certainty, seen.state is State.PRESENT) > (
                held.certainty, held.state is State.PRESENT):
            states[seen.sign] = seen
    present = {sign for sign, seen in states.items() if seen.state is State.PRESENT}
    present -= _told_in_passing(rulebook, {sign: states[sign] for sign in present})
    implied = frozenset().union(*(rulebook.implied[sign] for sign in present)) if present else frozenset()
    absent = {sign for sign, seen in states.items() if seen.state is State.ABSENT} - implied
    covered = {sign for sign in absent if rulebook.implied[sign] & absent}
    number = rulebook.sign_number
    return Observed(tuple(sorted(number[sign] for sign in present - implied)),
                    tuple(sorted(number[sign] for sign in absent - covered)))


def _told_in_passing(rulebook: Rulebook, present: Mapping[str, SeenSign]) -> set[str]:
    """Signs that a letter only mentions: those of the passing kind, beside a sign that is a complaint by itself."""
    passing = {sign for sign, seen in present.items()
               if seen.origin is Origin.LETTER and rulebook.base.signs[sign].passing}
    complaints = present.keys() - passing - rulebook.mostly_normal
    return passing if complaints else set()


def _of_a_complaint(belief: Belief, case: Case, share: float) -> Floats:
    """The posteriors, knowing that somebody wrote: people write because something is there to see.

    Where a letter tells signs, ``share`` of the chance that no cause is behind any of them is taken away (it would be
    all of it, were each letter about a cause of the list): P / (1 - share x P(no cause accounts for a sign)).
    """
    written = any(seen.origin is Origin.LETTER and seen.state is not State.ABSENT for seen in case.signs)
    return belief.accounts / (1.0 - share * belief.unaccounted) if written else belief.accounts


def _damped(rulebook: Rulebook, case: Case, network: Network, observed: Observed, belief: Belief) -> Floats:
    """Posteriors drawn towards their priors where many, hence correlated, remarks speak.

    log(posterior odds / prior odds) is multiplied by the damping factor after exact inference.
    """
    constants = rulebook.base.scales.constants
    signs = {rulebook.signs[number] for number in observed.present + observed.absent}
    remarks = {remark_of(rulebook, seen) for seen in case.signs
               if seen.sign in signs and seen.state is not State.UNSURE}
    factor = damping_factor(len(remarks), constants["damping_from"], constants["damping_power"])
    accounts = np.clip(_of_a_complaint(belief, case, constants["complaint"]), 0.0, 1.0 - 1e-12)
    if factor == 1.0:
        return accounts
    seen = accounts > 0
    prior = network.prior[seen]
    prior_odds, odds = np.log(prior / (1.0 - prior)), np.log(accounts[seen] / (1.0 - accounts[seen]))
    result = accounts.copy()
    result[seen] = 1.0 / (1.0 + np.exp(-(prior_odds + factor * (odds - prior_odds))))
    return result
