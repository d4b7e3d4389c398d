"""How right we were: of all times we said "seven in ten", was it so in seven of ten? And what the club itself sees."""

from __future__ import annotations

import datetime as dt
import itertools
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence

from diagnose.frozen import frozen
from diagnose.model.cases import RESULTS, DeedWord, DeskCase
from diagnose.reason.chances import brier, expected_calibration_error, updated_share, wilson

__all__ = ["Band", "CauseCount", "Report", "bands_of", "club_priors", "counts_of", "report"]

EDGES = (0.0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0)


@frozen
class Band:
    """Forecasts between two probabilities: how many, what was said on average, and how often it was so.

    A band is closed on the right; the first holds 0 as well. ``from_``, ``to`` and the interval lie in 0 to 1.
    """

    from_: float
    to: float
    count: int
    said: float
    so: int
    share: float
    interval: tuple[float, float]


@frozen
class CauseCount:
    """How often a cause proved true in the club, beside the book's share and what both together say.

    ``results`` counts how the plants did, in the order better, same, worse, lost.
    """

    cause: str
    count: int
    of: int
    interval: tuple[float, float]
    book: float
    both: float
    results: tuple[int, ...]


@frozen
class Report:
    """What the closed cases teach. ``first_right`` of ``judged`` had the true cause first, ``named`` had it listed."""

    cases: int
    judged: int
    first_right: int
    named: int
    bands: tuple[Band, ...]
    brier: float | None
    calibration_error: float | None
    causes: tuple[CauseCount, ...]
    unknown_causes: tuple[str, ...]


def report(cases: Iterable[DeskCase], book: Mapping[str, float], book_cases: float) -> Report:
    """The report over all cases whose outcome is known; ``book`` gives each cause its share before the club's own.

    What was told with the answer counts where it was written down, else what the letter says today.
    """
    known = [case for case in cases if case.case_file.outcome is not None]
    told = [(_told(case), _cause(case)) for case in known]
    judged = [(chances, cause) for chances, cause in told if chances]
    forecasts = [(chance, name == cause) for chances, cause in judged for name, chance in chances.items()]
    bands = bands_of(forecasts)
    triples = [(band.count, band.said, band.share) for band in bands]
    return Report(
        cases=len(known),
        judged=len(judged),
        first_right=sum(max(chances, key=lambda name: chances[name]) == cause for chances, cause in judged),
        named=sum(cause in chances for chances, cause in judged),
        bands=bands,
        brier=brier(forecasts) if forecasts else None,
        calibration_error=expected_calibration_error(triples) if forecasts else None,
        causes=_causes(known, book, book_cases),
        unknown_causes=tuple(sorted({cause for _, cause in told if cause not in book})),
    )


def _cause(case: DeskCase) -> str:
    return case.case_file.outcome.cause if case.case_file.outcome else ""


def _told(case: DeskCase) -> dict[str, float]:
    """The probabilities we stand by: those of the last answer, else those of the letter as judged today."""
    for deed in reversed(case.case_file.history):
        if deed.did == DeedWord.ANSWER and deed.said:
            return dict(deed.said)
    return {share.cause: share.probability for share in case.glance.shares} if case.glance else {}


def bands_of(forecasts: Sequence[tuple[float, bool]], edges: Sequence[float] = EDGES) -> tuple[Band, ...]:
    """The bands, between edges that rise from 0 to 1, into which some forecast (chance, whether it was so) falls."""
    found = []
    for low, high in itertools.pairwise(edges):
        inside = [(chance, so) for chance, so in forecasts if low < chance <= high or chance == low == 0.0]
        if inside:
            so = sum(happened for _, happened in inside)
            said = sum(chance for chance, _ in inside) / len(inside)
            found.append(Band(low, high, len(inside), said, so, so / len(inside), wilson(so, len(inside))))
    return tuple(found)


def counts_of(cases: Iterable[DeskCase], until: dt.date | None = None) -> dict[str, int]:
    """How often each cause proved true, in outcomes up to and with a day."""
    return dict(Counter(_cause(case) for case in cases if case.case_file.outcome
                        and (until is None or case.case_file.outcome.on <= until)))


def _causes(known: Sequence[DeskCase], book: Mapping[str, float], book_cases: float) -> tuple[CauseCount, ...]:
    counts = counts_of(known)
    both = club_priors(book, counts, book_cases)
    rows = []
    for cause, count in counts.items():
        if cause in book:
            results = Counter(case.case_file.outcome.result for case in known
                              if case.case_file.outcome and case.case_file.outcome.cause == cause)
            rows.append(CauseCount(cause, count, len(known), wilson(count, len(known)), book[cause], both[cause],
                                   tuple(results[word] for word in RESULTS)))
    return tuple(sorted(rows, key=lambda row: (-row.count, row.cause)))


def club_priors(book: Mapping[str, float], counts: Mapping[str, int], book_cases: float) -> dict[str, float]:
    """The share of each cause by book and club together: the book counts for ``book_cases`` cases.

    A cause never seen in the club becomes rarer, but stays possible.
    """
    total = sum(counts.values())
    return {cause: updated_share(share, book_cases, counts.get(cause, 0), total) for cause, share in book.items()}
