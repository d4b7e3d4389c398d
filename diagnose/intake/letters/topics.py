"""What a sentence leaves for the next one to speak of: "The lower leaves are yellow. They feel soft." """

from __future__ import annotations

from dataclasses import replace

from diagnose.intake.letters.belonging import Topic
from diagnose.intake.letters.lexicon import Lexicon
from diagnose.intake.letters.view import View

__all__ = ["next_topic"]

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
    on_plant = any(not view.has_concept(at, lexicon.parts.around) for at in view.heads)
    if not parts:
        return replace(topic, things=things, age=0)
    several = frozenset(item for at in view.heads if view.is_plural(at) for item in _items(view, at))
    lone = frozenset(item for at in view.heads if not view.is_plural(at) for item in _items(view, at))
    if topic.on_plant and not on_plant and topic.age < _MOST_SENTENCES:
        return Topic(topic.parts | parts, True, things, topic.several | several, topic.lone | lone, topic.age + 1)
    return Topic(parts, on_plant, things, several, lone, 0)


def _items(view: View, at: int) -> tuple[int, ...]:
    sense = view.senses[at]
    return sense.items if sense else ()
