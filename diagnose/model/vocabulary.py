"""The vocabulary that a letter is read with: how growers put things, and the phrases of signs, habits and groups."""

from __future__ import annotations

from diagnose.frozen import frozen
from diagnose.model.speech import SpeechData

__all__ = ["GroupNames", "HabitPhrases", "SignPhrases", "Vocabulary"]


@frozen
class SignPhrases:
    """A sign with its phrases; ``part`` is that of its file, ``implies`` names more general signs.

    ``words_alone`` tell it only where nothing else stands beside them, as an item of a list does. It ``yields_to``
    signs that the same words tell more exactly.
    """

    sign: str
    part: str
    words: tuple[str, ...]
    not_words: tuple[str, ...] = ()
    words_alone: tuple[str, ...] = ()
    implies: tuple[str, ...] = ()
    yields_to: tuple[str, ...] = ()


@frozen
class HabitPhrases:
    """A habit or circumstance with its phrases, those that tell it standing alone as for signs."""

    habit: str
    words: tuple[str, ...]
    not_words: tuple[str, ...] = ()
    words_alone: tuple[str, ...] = ()
    yearly: bool = False


@frozen
class GroupNames:
    """A plant group with the names growers use, in small letters."""

    group: str
    names: tuple[str, ...]


@frozen
class Vocabulary:
    """All that the letter reader needs to know of the rule base."""

    signs: tuple[SignPhrases, ...]
    habits: tuple[HabitPhrases, ...]
    groups: tuple[GroupNames, ...]
    speech: SpeechData
