"""What a sentence leaves for the next one to speak of: "The lower leaves are yellow. They feel soft." """

from __future__ import annotations

from dataclasses import replace

from diagnose.intake.letters.belonging import Topic
from diagnose.intake.letters.lexicon import Lexicon
from diagnose.intake.letters.matching import Match
from diagnose.intake.letters.view import View

__all__ = ["is_told_of_mark", "next_topic"]

_MOST_SENTENCES = 3


def next_topic(view: View, lexicon: Lexicon, topic: Topic) -> Topic:
    """The topic after a sentence: the parts and things it named, else those of before for a few sentences more. One
    that speaks only of the pot adds to what was spoken of."""
    parts = frozenset(item for at in view.heads for item in _items(view, at))
    things = frozenset(item for at in range(len(view.words)) if view.has_concept(at, lexicon.parts.things)
                       for item in _items(view, at))
    if not parts and not things:
        older = replace(topic, age=topic.age + 1)
        return older if topic.age < _MOST_SENTENCES else Topic()
    marks = frozenset(view.is_plural(_noun_at(view, at)) for at in range(len(view.words))
                      if view.has_concept(at, lexicon.parts.marks))
    on_plant = any(not view.has_concept(at, lexicon.parts.around) for at in view.heads)
    if not parts:
        return replace(topic, things=things, marks=marks, age=0)
    several = frozenset(item for at in view.heads if view.is_plural(at) for item in _items(view, at))
    lone = frozenset(item for at in view.heads if not view.is_plural(at) for item in _items(view, at))
    if topic.on_plant and not on_plant and topic.age < _MOST_SENTENCES:
        return Topic(topic.parts | parts, True, things, topic.several | several, topic.lone | lone, marks,
                     topic.age + 1)
    return Topic(parts, on_plant, things, several, lone, marks, 0)


def is_told_of_mark(match: Match, view: View, lexicon: Lexicon, topic: Topic) -> bool:
    """Whether "it" or "they" means the marks named before, where a sign of the plant would be read: "A patch came up
    on the leaf. It was yellow at first and has not grown." """
    first, parts = min(match.core), lexicon.parts
    if match.part >= 0 or match.phrase.target not in parts.not_of_marks or any(head < first for head in view.heads):
        return False
    before = [word for at, word in enumerate(view.words[:first]) if view.clauses[first] - view.clauses[at] <= 1]
    return (True in topic.marks and any(word in parts.several for word in before)) or (
        False in topic.marks and any(word in parts.single for word in before))


def _noun_at(view: View, at: int) -> int:
    """The noun that a word for a mark stands before, if it is none itself: "sunken places"."""
    after = view.right_behind(at)
    return after if after >= 0 and view.is_plain(after) and view.is_plural(after) else at


def _items(view: View, at: int) -> tuple[int, ...]:
    sense = view.senses[at]
    return sense.items if sense else ()
