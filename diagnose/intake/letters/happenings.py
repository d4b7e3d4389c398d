"""Events with how long ago they were, and the circumstances they amount to."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from diagnose.intake.letters.clean import CleanText
from diagnose.intake.letters.dating import Told
from diagnose.intake.letters.phrases import Kind
from diagnose.intake.letters.sentences import Said
from diagnose.model.certainties import Certainties
from diagnose.model.facts import Event, Habit, Origin, State
from diagnose.model.speech import EventWords, SpeechData

__all__ = ["events_of", "habits_by"]


def events_of(own: Iterable[Said], clean: CleanText, speech: SpeechData) -> tuple[Event, ...]:
    """The events of a letter, each event at each distance once, the surest first told."""
    found: dict[tuple[str, int, bool], Event] = {}
    for one in own:
        if one.kind is Kind.EVENT and one.state is not None:
            event = _event(one, clean, speech.events[int(one.target)], speech.certainties)
            if event:
                found.setdefault((event.event, event.days_ago, event.happened), event)
    return tuple(found.values())


def habits_by(events: Iterable[Event], speech: SpeechData) -> Iterator[Habit]:
    """The circumstances that events amount to by their time: what was repotted last week was repotted lately."""
    rows = [(words.event, words.lately, words.long_ago) for words in speech.events]
    for event in (one for one in events if one.happened):
        for name, lately, long_ago in rows:
            told = [habit for habit, days in lately if event.days_ago <= days]
            told += [habit for habit, days in long_ago if event.days_ago >= days]
            yield from (Habit(habit, Origin.LETTER, True, event.certainty, event.quote)
                        for habit in told if name == event.event)


def _event(one: Said, clean: CleanText, words: EventWords, sure: Certainties) -> Event | None:
    quote = " ".join(clean.text[one.start : one.end].split())
    if one.state is State.ABSENT:
        if not words.never_within_days:
            return None
        return Event(words.event, words.never_within_days, Origin.LETTER, False, one.certainty, quote)
    usable = [span for span in one.spans if span.told is not Told.STRETCH or words.since]
    usable = usable or [span for span in one.spans if words.lasts]
    days, certainty = (usable[0].days, sure.event_dated) if usable else (words.default_days, sure.event_undated)
    if days < 0:
        return None
    if one.state is State.UNSURE:
        certainty = sure.event_unsure
    return Event(words.event, days, Origin.LETTER, True, round(certainty * one.certainty, 3), quote)
