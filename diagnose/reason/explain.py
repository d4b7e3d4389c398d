"""Why: each finding for or against a cause, by how much, with its reason and its source."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from diagnose.frozen import frozen
from diagnose.model.facts import Origin, State
from diagnose.model.knowledge import Shift, Shows
from diagnose.model.result import Evidence
from diagnose.reason.belief import MOST_EXACT, Belief, Variant, believe_variants
from diagnose.reason.engine import Firing
from diagnose.reason.formula import ABSENT_MARK
from diagnose.reason.grounds import Grounds
from diagnose.reason.rulebook import Rulebook
from diagnose.reason.standing import Standing, remark_of, shift_decibans
from diagnose.reason.symbols import Known

__all__ = ["Explainer"]

LEAST_DECIBANS = 0.25
_ORIGIN_ORDER = (Origin.CLIMATE_LOG, Origin.CARE_LOG, Origin.ANSWER, Origin.LETTER, Origin.PLANT)


@frozen
class _Finding:
    """Signs that stand or fall together: one present sign, or all that one remark denies."""

    signs: tuple[int, ...]
    present: bool


class Explainer:
    """Works out once per case what leaving each finding out would do, then explains any cause."""

    def __init__(self, rulebook: Rulebook, standing: Standing) -> None:
        self._rulebook, self._standing = rulebook, standing
        self._findings = _findings(rulebook, standing)
        self._without = self._left_out()
        self._grounds = Grounds(standing)
        self._fired = {firing.rule: firing for firing in standing.firings}

    def _left_out(self) -> Sequence[Belief]:
        observed = self._standing.observed
        if len(observed.present) > MOST_EXACT:
            return [self._standing.belief] * len(self._findings)
        variants = [Variant(without_present=finding.signs) if finding.present
                    else Variant(without_absent=finding.signs) for finding in self._findings]
        return believe_variants(self._standing.network, observed, variants) if variants else []

    def explain(self, cause: int) -> tuple[tuple[Evidence, ...], tuple[Evidence, ...]]:
        """The findings for a cause and against it, strongest first."""
        found = [*self._sign_evidence(cause), *self._shift_evidence(cause)]
        found.sort(key=lambda evidence: (-abs(evidence.decibans), evidence.finding))
        return (tuple(evidence for evidence in found if evidence.decibans > 0),
                tuple(evidence for evidence in found if evidence.decibans < 0))

    def _sign_evidence(self, cause: int) -> Iterable[Evidence]:
        with_all = _decibans(float(self._standing.belief.accounts[cause]))
        for finding, without in zip(self._findings, self._without, strict=True):
            decibans = round(with_all - _decibans(float(without.accounts[cause])), 1)
            if abs(decibans) >= LEAST_DECIBANS:
                yield self._sign_finding(cause, finding, decibans)

    def _sign_finding(self, cause: int, finding: _Finding, decibans: float) -> Evidence:
        base = self._rulebook.base
        signs = [self._rulebook.signs[number] for number in finding.signs]
        linked = [sign for sign in signs if self._standing.network.frequency[cause, self._rulebook.sign_number[sign]]]
        shown = (linked or signs)[0]
        rule = self._link(cause, shown) if linked else None
        known = self._standing.known.get(f"sign={shown}:{'present' if finding.present else 'absent'}")
        origin = known.origin if known else Origin.LETTER
        sources = ", ".join(rule.claim.sources) if rule else ""
        name = base.signs[shown].name
        if finding.present:
            because = rule.claim.why if rule else "This cause does not explain it, or another explains it better."
            return Evidence(name, origin, decibans, because, sources)
        because = f"This cause shows it {rule.how_often}." if rule else "Other causes would show it more."
        return Evidence(f"Not seen: {name}", origin, decibans, because, sources)

    def _link(self, cause: int, sign: str) -> Shows | None:
        """The rule behind a link: of those that hold here, the most frequent; else one for a related sign."""
        rules = self._rulebook.base.causes[self._rulebook.causes[cause]].shows
        related = {sign, *self._rulebook.implied[sign], *self._rulebook.implying[sign]}
        active = [rule for rule in rules if rule.sign in related
                  and (not rule.when.tests or f"{rule.rule}/context" in self._fired)]
        return max(active, key=lambda rule: (rule.sign == sign, rule.frequency), default=None)

    def _shift_evidence(self, cause: int) -> Iterable[Evidence]:
        belief, name = self._standing.belief, self._rulebook.causes[cause]
        for shift in self._rulebook.base.causes[name].shifts:
            firing = self._fired.get(shift.rule)
            if firing is None:
                continue
            factor = 10.0 ** (-shift_decibans(self._rulebook, shift, firing) / 10.0)
            without = belief.accounts_with_odds(cause, factor)
            decibans = round(_decibans(float(belief.accounts[cause])) - _decibans(without), 1)
            if abs(decibans) >= LEAST_DECIBANS:
                yield self._shift_finding(shift, firing, decibans)

    def _shift_finding(self, shift: Shift, firing: Firing, decibans: float) -> Evidence:
        facts = self._facts_behind(firing)
        origin = min((fact.origin for fact in facts), key=_ORIGIN_ORDER.index, default=Origin.PLANT)
        shown = next((fact.shown for fact in facts if fact.origin is origin and fact.shown), "")
        title = self._title(firing)
        finding = f"{title} ({shown})" if shown and title else title or shown
        return Evidence(finding, origin, decibans, shift.claim.why, ", ".join(shift.claim.sources))

    def _title(self, firing: Firing) -> str:
        base = self._rulebook.base
        for symbol in firing.matched:
            kind, _, value = symbol.removeprefix(ABSENT_MARK).partition("=")
            if kind == "condition":
                name = base.conditions[value].name
                return f"Not so: {name}" if symbol.startswith(ABSENT_MARK) else name
            if kind == "habit":
                return base.habits[value.removesuffix(":denied")].name
            if kind == "sign":
                sign, _, state = value.partition(":")
                return base.signs[sign].name if state != State.ABSENT else f"Not seen: {base.signs[sign].name}"
        return ""

    def _facts_behind(self, firing: Firing) -> list[Known]:
        """The facts of the case that a firing rests on, through any number of conditions."""
        return [self._standing.known[symbol] for symbol, _ in self._grounds.of(firing)]


def _findings(rulebook: Rulebook, standing: Standing) -> list[_Finding]:
    together: dict[str, list[int]] = {}
    remarks = {seen.sign: remark_of(rulebook, seen) for seen in standing.case.signs if seen.state is State.ABSENT}
    for number in standing.observed.absent:
        together.setdefault(remarks[rulebook.signs[number]], []).append(number)
    return [*(_Finding((number,), True) for number in standing.observed.present),
            *(_Finding(tuple(numbers), False) for numbers in together.values())]


def _decibans(probability: float) -> float:
    safe = min(max(probability, 1e-12), 1.0 - 1e-12)
    return 10.0 * math.log10(safe / (1.0 - safe))

