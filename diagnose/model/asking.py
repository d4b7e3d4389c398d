"""What the question sequence asks besides signs, and what came back: frozen values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field

from diagnose.frozen import frozen
from diagnose.problems import Where

__all__ = ["OPENING", "Asking", "Circumstance", "CircumstanceAnswer", "Clash", "Reply"]

OPENING = "opening"  # the reply that names what was seen first; its choices are ids of signs


@frozen
class CircumstanceAnswer:
    """A possible answer: what it says of the plant (field: value) and which habits it tells.

    ``share`` is how usual it is among plants asked about, in proportion to the other answers of its question.
    """

    say: str
    share: float
    plant: Mapping[str, str]
    habits: tuple[str, ...]


@frozen
class Circumstance:
    """A question on the kind of plant or on its care. ``logged``: records tell it, where there are any."""

    id: str
    ask: str
    how: str
    several: bool
    logged: bool
    answers: tuple[CircumstanceAnswer, ...]
    where: Where

    @property
    def habits(self) -> tuple[str, ...]:
        """Every habit that some answer tells, in order."""
        return tuple(dict.fromkeys(habit for answer in self.answers for habit in answer.habits))

    @property
    def fields(self) -> tuple[str, ...]:
        """Every field of the plant that some answer tells."""
        return tuple(dict.fromkeys(name for answer in self.answers for name in answer.plant))


@frozen
class Clash:
    """Two signs that cannot both be true of one plant at one time, and why."""

    signs: tuple[str, str]
    why: str
    where: Where


@frozen
class Asking:
    """Everything that knowledge/asking.yaml says. ``parts`` names the files of signs, in the order to list them;
    ``example`` shows how a grower may put what is seen."""

    circumstances: Mapping[str, Circumstance] = field(default_factory=dict)
    clashes: tuple[Clash, ...] = ()
    parts: Mapping[str, str] = field(default_factory=dict)
    example: str = ""


@frozen
class Reply:
    """What came back to a question: the words of the answers chosen; none chosen means skipped or not known."""

    question: str
    chosen: tuple[str, ...] = ()
