"""What was found in a case, in the pieces that an explanation weighs one by one."""

from __future__ import annotations

from diagnose.frozen import frozen
from diagnose.model.facts import Case, Origin, SeenSign, State
from diagnose.reason.belief import Variant
from diagnose.reason.network import Observed
from diagnose.reason.rulebook import Rulebook

__all__ = ["Finding", "findings_of", "remark_of"]


@frozen
class Finding:
    """Signs that stand or fall together: one present sign, or all that one remark denies."""

    signs: tuple[int, ...]
    present: bool

    @property
    def left_out(self) -> Variant:
        """What was observed but for this finding."""
        return Variant(without_present=self.signs) if self.present else Variant(without_absent=self.signs)


def findings_of(rulebook: Rulebook, case: Case, observed: Observed) -> tuple[Finding, ...]:
    """The findings of a case: each present sign, then the signs denied, remark by remark."""
    together: dict[str, list[int]] = {}
    remarks = {seen.sign: remark_of(rulebook, seen) for seen in case.signs if seen.state is State.ABSENT}
    for number in observed.absent:
        together.setdefault(remarks[rulebook.signs[number]], []).append(number)
    return (*(Finding((number,), True) for number in observed.present),
            *(Finding(tuple(numbers), False) for numbers in together.values()))


def remark_of(rulebook: Rulebook, seen: SeenSign) -> str:
    """What was said in one breath: the answer to one question, or one stretch of a letter."""
    if seen.origin is Origin.ANSWER:
        return rulebook.asked_by.get(seen.sign, seen.sign)
    return f"{seen.start}:{seen.quote}" if seen.quote else seen.sign
