"""What may be done with a case, by whom, and how it stands afterwards. Pure rules; nothing is written here."""

from __future__ import annotations

from diagnose.frozen import frozen
from diagnose.model.cases import CaseFile, CaseState, Deed, DeedWord
from diagnose.problems import InputError, Where

__all__ = ["After", "after"]

_ALLOWED = {
    DeedWord.TAKE: tuple(CaseState),
    DeedWord.HAND_BACK: tuple(CaseState),
    DeedWord.ASK: (CaseState.NEW, CaseState.ASKED),
    DeedWord.ANSWER: (CaseState.NEW, CaseState.ASKED, CaseState.ANSWERED),
    DeedWord.CLOSE: tuple(CaseState),
    DeedWord.REOPEN: (CaseState.ASKED, CaseState.ANSWERED, CaseState.CLOSED),
    DeedWord.OUTCOME: tuple(CaseState),
}
_STATE = {DeedWord.ASK: CaseState.ASKED, DeedWord.ANSWER: CaseState.ANSWERED, DeedWord.CLOSE: CaseState.CLOSED,
          DeedWord.REOPEN: CaseState.NEW}


@frozen
class After:
    """How a case stands after a deed."""

    state: CaseState
    taken_by: str


def after(case: CaseFile, deed: Deed, *, take_over: bool = False) -> After:
    """How the case stands once the deed is done. Raises InputError where it may not be done.

    A case that another has taken is left alone unless it is taken over. Whoever asks or answers without having
    taken the case takes it by doing so; a closed case is nobody's.
    """
    did, where = DeedWord(deed.did), Where(case.file)
    if case.taken_by and case.taken_by != deed.by and not take_over and did is not DeedWord.OUTCOME:
        raise InputError.one(where, "taken", f"{case.taken_by} has this case{_since(case)}.",
                             "Agree with them, then take it over with --take-over.")
    if did is DeedWord.HAND_BACK and not case.taken_by:
        raise InputError.one(where, "not-taken", "Nobody has this case, so it cannot be handed back.")
    if case.state not in _ALLOWED[did]:
        raise InputError.one(where, "wrong-state", f'A case that is {case.state} cannot be marked with "{did}".',
                             "Reopen it first." if case.state is CaseState.CLOSED else "")
    state = _STATE.get(did, case.state)
    if did is DeedWord.OUTCOME:
        return After(state, case.taken_by)
    return After(state, "" if did in (DeedWord.HAND_BACK, DeedWord.CLOSE) else deed.by)


def _since(case: CaseFile) -> str:
    taken = [deed.on for deed in case.history if deed.by == case.taken_by]
    return f" since {min(taken).isoformat()}" if taken else ""
