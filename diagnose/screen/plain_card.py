"""The card in whole sentences, one under another, for a screen reader or a dumb terminal."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from diagnose.model.result import CauseFound, Result
from diagnose.screen.card import MOST_ADVICE, MOST_OTHERS, MOST_REASONS, URGENCY, VERDICTS, leading, percent, strength

__all__ = ["plain_card"]

MOST_SIGNS = 6
_STATES = {"present": "Seen", "unsure": "Unsure", "absent": "Not there"}


def plain_card(result: Result) -> Iterator[str]:
    """Paragraphs of the card of a result."""
    for state, title in _STATES.items():
        names = [sign.name.lower() for sign in result.understood.signs if sign.state == state]
        more = f" and {len(names) - MOST_SIGNS} more" if len(names) > MOST_SIGNS else ""
        if names:
            yield f"{title}: {', '.join(names[:MOST_SIGNS])}{more}."
    first = leading(result) if result.causes else []
    if not first:
        yield "No sign of trouble was understood, so no cause is named."
    for cause in first:
        yield from _cause(cause)
    others = [cause for cause in result.causes if cause not in first][:MOST_OTHERS]
    if others:
        listed = "; ".join(f"{cause.name}, {cause.grade}, {percent(cause.probability)}" for cause in others)
        yield f"Also possible: {listed}."
    if VERDICTS[result.verdict]:
        yield VERDICTS[result.verdict]


def _cause(cause: CauseFound) -> Iterator[str]:
    spreads = " It spreads to other plants." if cause.spreads else ""
    yield f"{cause.name}: {cause.grade}, {percent(cause.probability)}. {URGENCY[cause.urgency].capitalize()}.{spreads}"
    reasons = [f"{found.finding}, {strength(found.decibans)}, from the {found.from_}. {found.because}"
               for found in cause.for_[:MOST_REASONS]]
    yield from _listed("Why", reasons)
    yield from _listed("Against", [f"{found.finding}. {found.because}" for found in cause.against[:2]])
    yield from _listed("To settle it", cause.settle[:1])
    yield from _listed("Do", cause.do[:MOST_ADVICE])
    yield from _listed("Do not", cause.do_not[:3])
    yield from _listed("Expect", [cause.expect] if cause.expect else [])
    yield from _listed("Take care", cause.cautions)


def _listed(title: str, lines: Iterable[str]) -> Iterator[str]:
    yield from (f"{title}: {line}" for line in lines)
