"""Who may do what with a case, and how it stands afterwards."""

from __future__ import annotations

import datetime as dt

import pytest

from diagnose.model.cases import CaseFile, CaseState, Deed, DeedWord
from diagnose.problems import InputError
from diagnose.reason.deeds import after

DAY = dt.date(2026, 4, 22)


def do(did: str, *, by: str = "V-1", state: str = "new", taken_by: str = "", take_over: bool = False
       ) -> tuple[str, str]:
    """State and holder after the deed."""
    case = CaseFile("a.yaml", "a", state=CaseState(state), taken_by=taken_by)
    then = after(case, Deed(did, by, DAY), take_over=take_over)
    return then.state, then.taken_by


@pytest.mark.parametrize(("did", "before", "then"), [
    ("take", ("new", ""), ("new", "V-1")), ("take", ("asked", "V-1"), ("asked", "V-1")),
    ("hand-back", ("new", "V-1"), ("new", "")), ("ask", ("new", ""), ("asked", "V-1")),
    ("ask", ("asked", "V-1"), ("asked", "V-1")), ("answer", ("asked", "V-1"), ("answered", "V-1")),
    ("answer", ("answered", "V-1"), ("answered", "V-1")), ("close", ("answered", "V-1"), ("closed", "")),
    ("reopen", ("closed", ""), ("new", "V-1")), ("outcome", ("closed", ""), ("closed", "")),
])
def test_what_a_deed_does(did: str, before: tuple[str, str], then: tuple[str, str]) -> None:
    """Each deed leads from state and holder to state and holder."""
    assert do(did, state=before[0], taken_by=before[1]) == then


@pytest.mark.parametrize("did", [word for word in DeedWord if word is not DeedWord.OUTCOME])
def test_nobody_works_on_what_another_has(did: str) -> None:
    """A case of another is left alone, with a word on who has it; taking it over is a word of its own."""
    with pytest.raises(InputError, match="V-2 has this case"):
        do(did, state="asked", taken_by="V-2")
    assert do("take", taken_by="V-2", take_over=True) == ("new", "V-1")


def test_an_outcome_can_be_recorded_by_anybody() -> None:
    """What proved true is written down whoever has the case."""
    assert do("outcome", state="answered", taken_by="V-2") == ("answered", "V-2")


@pytest.mark.parametrize(("did", "state", "words"), [
    ("hand-back", "new", "Nobody has this case"), ("ask", "answered", "cannot be marked"),
    ("answer", "closed", "Reopen it first"), ("reopen", "new", "cannot be marked"),
])
def test_what_makes_no_sense_is_refused(did: str, state: str, words: str) -> None:
    """A deed that does not fit the state is refused in plain words."""
    with pytest.raises(InputError, match=words):
        do(did, state=state)
