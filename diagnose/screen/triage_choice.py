"""Which cases of the list are shown: filters in plain words, and pages."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from diagnose.frozen import frozen
from diagnose.model.cases import CaseState
from diagnose.model.knowledge import KnowledgeBase
from diagnose.problems import InputError, Where, nearest
from diagnose.reason.triage import Ranked

__all__ = ["NOBODY", "Choice", "Page", "page_of"]

OPEN = (CaseState.NEW, CaseState.ASKED)
NOBODY = "nobody"


@frozen
class Choice:
    """What is asked for; empty text does not filter. ``state`` is a state, "open" (new or asked) or "all"."""

    state: str = ""
    taken_by: str = ""
    urgency: str = ""
    cause: str = ""
    group: str = ""

    def check(self, base: KnowledgeBase) -> None:
        """Raise InputError for a word that is not known."""
        for option, word, known in (("--state", self.state, (*map(str, CaseState), "open", "all")),
                                    ("--urgency", self.urgency, tuple(base.scales.urgency)),
                                    ("--cause", self.cause, tuple(base.causes)),
                                    ("--group", self.group, tuple(base.groups))):
            _known(option, word, known)

    def takes(self, ranked: Ranked, possible: float) -> bool:
        """Whether a case is asked for; a cause counts from being at least possible. What cannot be read always is."""
        file, glance = ranked.case.case_file, ranked.case.glance
        if glance is None:
            return not (self.cause or self.group or self.urgency)
        state = self.state in ("", "all", file.state) or (self.state == "open" and file.state in OPEN)
        holder = not self.taken_by or (file.taken_by or NOBODY) == self.taken_by
        cause = not self.cause or any(share.cause == self.cause and share.probability >= possible
                                      for share in glance.shares) or (
            file.outcome is not None and file.outcome.cause == self.cause)
        return (state and holder and cause and self.urgency in ("", ranked.urgency)
                and self.group in ("", glance.group))


def _known(option: str, word: str, known: Collection[str]) -> None:
    if word and word not in known:
        raise InputError.one(Where(option), "unknown-word", f'"{word}" is not known here.', nearest(word, known))


@frozen
class Page:
    """Some of the cases, with the place of the first (from 1), and which page of how many it is."""

    cases: Sequence[Ranked]
    first: int
    number: int
    of: int
    total: int


def page_of(cases: Sequence[Ranked], number: int, size: int) -> Page:
    """A page of the list. Raises InputError for a page that is not there."""
    if size < 1:
        raise InputError.one(Where("--per-page"), "bad-number", "A page holds at least one case.")
    of = max(1, -(-len(cases) // size))
    if not 1 <= number <= of:
        raise InputError.one(Where("--page"), "no-such-page", f"There is no page {number}.", f"The last page is {of}.")
    start = (number - 1) * size
    return Page(cases[start:start + size], start + 1, number, of, len(cases))
