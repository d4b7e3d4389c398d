"""How far a reading of a letter can be relied on."""

from __future__ import annotations

from diagnose.frozen import frozen

__all__ = ["Certainties"]


@frozen
class Certainties:
    """How far readings of a kind can be relied on, in (0, 1]; where several apply they are multiplied.

    ``carried``: the part is that of the sentence before; ``assumed``: the foliage, where no part is named;
    ``lone_word``: one word with neither part nor pronoun; ``one_run``: told by one run of words only; ``either``:
    one of two parts joined by "or"; ``slip``: a corrected word; ``measure``: a number told; ``event_dated``,
    ``event_undated``, ``event_unsure``: what happened.
    """

    carried: float
    assumed: float
    lone_word: float
    one_run: float
    either: float
    slip: float
    measure: float
    event_dated: float
    event_undated: float
    event_unsure: float
