"""Outbreaks: a pest or disease in more cases than the club's history makes likely, or in cases that share something.

The test is the upper tail of a binomial: of the cases looked at, so many have the cause; its usual share is that of the
club's earlier cases, to which the book's frequency adds as a stated number of cases. The p-value is multiplied by the
number of tests made (Bonferroni), and a notice is given where the product is small.
"""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from diagnose.frozen import frozen
from diagnose.model.cases import DeskCase
from diagnose.model.desk import OutbreakRules
from diagnose.model.knowledge import KnowledgeBase
from diagnose.reason.chances import binomial_tail, updated_share

__all__ = ["Outbreak", "find_outbreaks", "suspected"]

LIKELY = "likely"


@frozen
class Outbreak:
    """More cases of one cause than expected. ``shared`` and ``value`` say what the cases have in common, if the
    notice is about that; ``chance`` is the p-value times the number of tests, ``tests``."""

    cause: str
    cases: tuple[str, ...]
    of: int
    expected: float
    p_value: float
    tests: int
    shared: str
    value: str
    first: dt.date
    last: dt.date

    @property
    def chance(self) -> float:
        """The p-value after Bonferroni's correction, at most 1."""
        return min(1.0, self.p_value * self.tests)


@frozen
class _Test:
    """One test: how many of some cases have a cause, against a usual share."""

    cause: str
    hits: tuple[DeskCase, ...]
    of: int
    share: float
    shared: str = ""
    value: str = ""


def suspected(base: KnowledgeBase, case: DeskCase) -> frozenset[str]:
    """The causes a case stands for: what it proved to be, else every cause that is at least likely."""
    if case.case_file.outcome:
        return frozenset([case.case_file.outcome.cause])
    least = base.scales.grade[LIKELY]
    return frozenset(s.cause for s in case.glance.shares if s.probability >= least) if case.glance else frozenset()


def find_outbreaks(base: KnowledgeBase, rules: OutbreakRules, cases: Iterable[DeskCase], today: dt.date
                   ) -> list[Outbreak]:
    """Every outbreak as of a day, the least likely by chance first."""
    since = today - dt.timedelta(days=rules.history_days)
    dated = [case for case in cases if case.case_file.received and since <= case.case_file.received <= today]
    club = _Club(base, rules, tuple((case, suspected(base, case)) for case in dated))
    tests = [*club.tests(club.lately(today))]
    for (key, value), members in club.sharing().items():
        tests += club.tests(members, key, value)
    tried = [test for test in tests if len(test.hits) >= rules.least_cases]
    found = [_outbreak(test, binomial_tail(len(test.hits), test.of, test.share), len(tests)) for test in tried]
    return sorted((outbreak for outbreak in found if outbreak.chance <= rules.most_chance),
                  key=lambda outbreak: (outbreak.p_value, outbreak.cause, outbreak.value))


Marked = Sequence[tuple[DeskCase, frozenset[str]]]


@frozen
class _Club:
    """The club's cases with the causes each stands for."""

    base: KnowledgeBase
    rules: OutbreakRules
    marked: Marked

    def lately(self, today: dt.date) -> Marked:
        """The cases of the last weeks."""
        start = today - dt.timedelta(days=self.rules.window_days)
        return [pair for pair in self.marked if pair[0].case_file.received and pair[0].case_file.received > start]

    def sharing(self) -> dict[tuple[str, str], Marked]:
        """The cases by each thing they share with others."""
        found: dict[tuple[str, str], list[tuple[DeskCase, frozenset[str]]]] = {}
        for case, causes in self.marked:
            for pair in case.case_file.context:
                found.setdefault(pair, []).append((case, causes))
        return {pair: cases for pair, cases in sorted(found.items()) if len(cases) >= self.rules.least_cases}

    def tests(self, inside: Marked, shared: str = "", value: str = "") -> Iterator[_Test]:
        """For each watched cause met inside: those cases against all others, whose share the book's steadies.

        Letters of one member about one cause count once, for they are not independent.
        """
        totals = Counter(cause for _, causes in self.marked for cause in causes)
        hits: dict[str, list[DeskCase]] = {}
        for case, causes in inside:
            for cause in causes:
                hits.setdefault(cause, []).append(case)
        for cause, cases in sorted(hits.items()):
            known = self.base.causes.get(cause)
            if known and known.kind in self.rules.kinds:
                share = updated_share(known.prior, self.rules.book_cases, totals[cause] - len(cases),
                                      len(self.marked) - len(inside))
                once = {case.case_file.member or case.case_file.file: case for case in cases}
                yield _Test(cause, tuple(once.values()), len(inside), share, shared, value)


def _outbreak(test: _Test, p_value: float, tests: int) -> Outbreak:
    days = sorted(case.case_file.received for case in test.hits if case.case_file.received)
    names = tuple(case.case_file.case for case in test.hits)
    return Outbreak(test.cause, names, test.of, test.of * test.share, p_value, tests, test.shared, test.value,
                    days[0], days[-1])
