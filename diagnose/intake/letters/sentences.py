"""Reads one sentence after another and gathers what each says."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from diagnose.intake.letters.answered import answer_to
from diagnose.intake.letters.belonging import Topic
from diagnose.intake.letters.clean import CleanText
from diagnose.intake.letters.dating import TimeSpan, Told, times_in
from diagnose.intake.letters.follow import PlantFollower
from diagnose.intake.letters.judge import judged
from diagnose.intake.letters.lexicon import Lexicon
from diagnose.intake.letters.matching import Match, matches_in
from diagnose.intake.letters.numbers import ToldMeasure, measures_in
from diagnose.intake.letters.phrases import Kind, Phrase
from diagnose.intake.letters.plants import PlantKey
from diagnose.intake.letters.praise import is_empty_praise
from diagnose.intake.letters.reach import Mark, marks_of, masked_words
from diagnose.intake.letters.tokens import sentences_of
from diagnose.intake.letters.topics import is_told_of_mark, next_topic
from diagnose.intake.letters.view import View, view_of
from diagnose.model.facts import State
from diagnose.model.speech import Effect

__all__ = ["Gathered", "Said", "SaidMeasure", "gathered"]

_FEWEST_CONTENT_WORDS = 2
_NUMBER_REACH = 5


class Said(NamedTuple):
    """One thing said: of which plant, its state (None: supposed or past), and where in the cleaned text.

    ``spans`` are the times told in the sentence, nearest first; ``onset`` the days since it began, or -1;
    ``of_rest`` says that it was told of the other parts of its kind, ``settles`` that nothing told of the sign
    outweighs it; ``words`` are the places of its words in the cleaned text, ``told`` those without words for parts.
    """

    kind: Kind
    target: str
    plant: PlantKey
    state: State | None
    certainty: float
    start: int
    end: int
    spans: tuple[TimeSpan, ...] = ()
    onset: int = -1
    of_rest: bool = False
    settles: bool = False
    words: frozenset[int] = frozenset()
    told: frozenset[int] = frozenset()


class SaidMeasure(NamedTuple):
    """A measure with its place in the cleaned text."""

    told: ToldMeasure
    plant: PlantKey
    start: int
    end: int


@dataclass(slots=True)
class Gathered:
    """Everything a letter says, in its order, the stretches of which nothing was understood, when it says that it
    was written, and whether it sets the plant asked about against another one (``returned``)."""

    main: PlantKey = field(default_factory=PlantKey)
    said: list[Said] = field(default_factory=list)
    measures: list[SaidMeasure] = field(default_factory=list)
    not_understood: list[tuple[int, int]] = field(default_factory=list)
    written: list[TimeSpan] = field(default_factory=list)
    returned: bool = False

    @property
    def hemisphere(self) -> str:
        """The half of the earth on which the first place named lies, or ""."""
        return next((one.target for one in self.said if one.kind is Kind.REGION and one.state is State.PRESENT), "")


def gathered(clean: CleanText, lexicon: Lexicon, date: dt.date, south: bool) -> Gathered:
    """Read the sentences of a letter. Seasons are those of the southern half of the earth if ``south``.

    A time that is only compared with ("smaller than last year") dates nothing.
    """
    follower, topic = PlantFollower(lexicon.plants, lexicon.scopes.joiners), Topic()
    memory: dict[str, str] = {}
    found = Gathered()
    before, first = None, 0
    for sentence in sentences_of(clean.text, lexicon.dotted):
        view = view_of(sentence, lexicon, memory)
        told_times = times_in(view, lexicon.times, date, south)
        compared = masked_words(view, lexicon.scopes)
        spans = [span for span in told_times if span.told is not Told.NOW
                 and not (span.told is Told.AGO and span.start in compared)]
        plants = follower.follow(view)
        told = measures_in(view, lexicon.measures, lexicon.times)
        matches = [match for match in matches_in(view, lexicon, topic) if not (
            _of_weather(match, view, told, lexicon) or _of_several(match, plants, lexicon)
            or is_told_of_mark(match, view, lexicon, topic) or is_empty_praise(match, view, spans, lexicon))]
        reading = _Reading(view, lexicon, plants, spans, marks_of(view, lexicon.scopes),
                           _long_past(view, spans, lexicon))
        _answered(found.said, first, answer_to(before, sentence, lexicon.scopes))
        before, first = sentence, len(found.said)
        found.said += [reading.said(match) for match in matches if not (
            sentence.question and match.phrase.kind in (Kind.HEALTH, Kind.DENIAL))]
        found.measures += [SaidMeasure(one, plants[one.start], sentence.starts[one.start],
                                       sentence.ends[one.end - 1]) for one in told]
        found.written += [span for span in told_times if span.told is Told.NOW]
        found.not_understood += _not_understood(view, matches, told, told_times, lexicon)
        topic = next_topic(view, lexicon, topic)
    found.main, found.returned = follower.main, follower.returned
    return found


def _answered(said: list[Said], first: int, state: State | None) -> None:
    """Give what a question left open, said from place ``first`` on, the state that its answer tells."""
    if state is not None:
        said[first:] = [one._replace(state=state) if one.state is State.UNSURE else one for one in said[first:]]


def _of_weather(match: Match, view: View, told: Sequence[ToldMeasure], lexicon: Lexicon) -> bool:
    """Whether it is a number that falls, not a part of the plant that nobody names: "it dropped to 40 at night"."""
    last, assumed = max(match.core), lexicon.speech.certainties.assumed
    return match.phrase.kind is Kind.SIGN and match.part < 0 and match.certainty <= assumed and any(
        0 < one.start - last <= _NUMBER_REACH and view.clauses[one.start] == view.clauses[last] for one in told)


def _of_several(match: Match, plants: Sequence[PlantKey], lexicon: Lexicon) -> bool:
    """Whether words told of different plants were put together to a sign."""
    return match.phrase.kind is Kind.SIGN and match.phrase.target not in lexicon.plants.bench and (
        len({plants[at] for at in match.core}) > 1)


def _long_past(view: View, spans: Sequence[TimeSpan], lexicon: Lexicon) -> list[Mark]:
    """A clause that is dated long ago tells nothing of now, nor do clauses after it that go on with "that" and do not
    come back to the present ("it is yellow now")."""
    marks = []
    for span in spans:
        first, end = _stretch_of_time(view, span, lexicon)
        if span.told is Told.AGO and span.days >= lexicon.times.old_days and not _lasted(view, span, lexicon) and (
                _is_dated(view, span, lexicon) or _is_narrated(view, first, end, lexicon)):
            while end < len(view.words) and _goes_on(view, view.clause_of(end), lexicon):
                end = view.clause_of(end)[1]
            marks.append(Mark(Effect.PAST, first, end, span.start, span.end, 1.0))
    return marks


def _stretch_of_time(view: View, span: TimeSpan, lexicon: Lexicon) -> tuple[int, int]:
    """The words of which a time tells: its clause, but of "the plant I got last May has spots" not the end."""
    first, end = view.clause_of(span.start)
    told_now = span.end < end and view.words[span.end] in lexicon.scopes.present
    return (first, span.end) if told_now else (first, end)


def _lasted(view: View, span: TimeSpan, lexicon: Lexicon) -> bool:
    """Whether something came about in the course of a time, and so may last: "turned yellow over the summer"."""
    return not lexicon.times.during.isdisjoint(view.words[max(0, span.start - 2) : span.start])


def _goes_on(view: View, clause: tuple[int, int], lexicon: Lexicon) -> bool:
    """Whether a clause speaks of the same time as the one before it."""
    words = view.words[slice(*clause)]
    return words[0] in lexicon.plants.carries and lexicon.scopes.turns.isdisjoint(words)


def _is_dated(view: View, span: TimeSpan, lexicon: Lexicon) -> bool:
    """Whether more than the name of a season or month tells the time: "two years ago", "last summer"."""
    return span.end - span.start > 1 or view.words[max(0, span.start - 1)] in lexicon.times.last


def _is_narrated(view: View, first: int, end: int, lexicon: Lexicon) -> bool:
    """Whether a clause tells what happened; "leaf spots in summer" does not, it says when such a thing is seen."""
    scopes = lexicon.scopes
    return any(word in scopes.articles or word in scopes.copulas or word in scopes.subjects
               for word in view.words[first:end])


@dataclass(slots=True)
class _Reading:
    view: View
    lexicon: Lexicon
    plants: Sequence[PlantKey]
    spans: Sequence[TimeSpan]
    marks: Sequence[Mark]
    long_past: Sequence[Mark]

    def said(self, match: Match) -> Said:
        """What a match says."""
        view, phrase = self.view, match.phrase
        verdict = judged(match, view, self._marks_for(phrase), self.lexicon.scopes,
                         self.lexicon.speech.certainties.either)
        plant = self.plants[match.core[0]]
        if phrase.target in self.lexicon.plants.bench:
            plant = PlantKey(plant.group)
        start, end = view.stretch(min(match.places), max(match.places))
        return Said(phrase.kind, phrase.target, plant, verdict.state, verdict.certainty, view.sentence.starts[start],
                    view.sentence.ends[end], self._near(match), self._onset(match), self._of_rest(match),
                    words=frozenset(view.sentence.starts[at] for at in match.places),
                    told=frozenset(view.sentence.starts[at] for at in match.core if at not in view.heads))

    def _marks_for(self, phrase: Phrase) -> list[Mark]:
        """The marks that count for a phrase: an event keeps its date, and a habit of a season is not of one year."""
        if phrase.kind in (Kind.EVENT, Kind.REGION):
            return [mark for mark in self.marks if mark.effect is not Effect.PAST]
        yearly = phrase.target in self.lexicon.yearly
        return [*self.marks, *(mark for mark in self.long_past if not yearly or self._is_of_a_year(mark))]

    def _is_of_a_year(self, mark: Mark) -> bool:
        return _is_dated(self.view, TimeSpan(Told.AGO, 0, mark.cue_start, mark.cue_end), self.lexicon)

    def _near(self, match: Match) -> tuple[TimeSpan, ...]:
        view, at = self.view, match.core[0]
        return tuple(sorted(self.spans, key=lambda span: abs(view.costs[span.start] - view.costs[at])))

    def _onset(self, match: Match) -> int:
        """Days since it began, if its clause tells a time and a word of beginning, or the next clause a "since".
        """
        view, clause = self.view, self.view.clauses[match.core[0]]
        days = [self._began(span) for span in self.spans
                if span.told is Told.SINCE and view.clauses[span.start] == clause + 1]
        stems = {view.stems[at] for at in range(len(view.words)) if view.clauses[at] == clause}
        if not self.lexicon.times.onset.isdisjoint(stems):
            days += [self._began(span) for span in self.spans if view.clauses[span.start] == clause]
        return max(days, default=-1)

    def _began(self, span: TimeSpan) -> int:
        """Days since what a time tells of began.

        What came "in the last month", or has not been "since March", began within that time: its middle is taken.
        """
        view, clause = self.view, self.view.clauses[span.start]
        before = {view.words[at] for at in range(span.start) if clause - view.clauses[at] in (0, 1)}
        open_ended = span.told is Told.STRETCH or (
            span.told is Told.SINCE and not self.lexicon.times.undone.isdisjoint(before))
        return span.days // 2 if open_ended else span.days

    def _of_rest(self, match: Match) -> bool:
        """Whether "the other leaves" or "the rest" is meant."""
        view = self.view
        first = min(match.places)
        others = self.lexicon.speech.health.others
        return any(view.words[at] in others for at in range(max(0, first - 2), max(match.places)))


def _not_understood(view: View, matches: Sequence[Match], told: Sequence[ToldMeasure], spans: Sequence[TimeSpan],
                    lexicon: Lexicon) -> list[tuple[int, int]]:
    """The stretches between hard breaks that have words of weight, none of which was used."""
    used = {at for match in matches for at in match.places}
    used.update(at for one in told for at in range(one.start, one.end))
    used.update(at for span in spans for at in range(span.start, span.end))
    stretches: dict[int, list[int]] = {}
    for at, half in enumerate(view.halves):
        stretches.setdefault(half, []).append(at)
    left = []
    for places in stretches.values():
        weighty = [at for at in places if view.words[at].isalpha() and view.words[at] not in lexicon.idle]
        if len(weighty) >= _FEWEST_CONTENT_WORDS and used.isdisjoint(places):
            left.append((view.sentence.starts[places[0]], view.sentence.ends[places[-1]]))
    return left
