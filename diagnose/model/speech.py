"""How growers put things: words, cues, phrases and units as frozen values.

The loader builds ``SpeechData`` from knowledge/speech; the keys of those files are the names of the fields here
(``is`` stands for ``parents``). A phrase is a few words in any order, each standing for its whole concept.
"""

from __future__ import annotations

from dataclasses import field
from enum import StrEnum

from diagnose.frozen import frozen
from diagnose.model.amounts import QuantityWords, TimeWords
from diagnose.model.certainties import Certainties

__all__ = [
    "Concept", "ContextWords", "Cue", "Denial", "Effect", "EventWords", "Health", "MediumWords", "Parts", "PlaceWords",
    "PlantTalk", "Questions", "Region", "Scopes", "Side", "SpeechData", "StageWords", "WordLists",
]


class Effect(StrEnum):
    """What a cue does to the things told within its reach.

    ``over`` ends them for good, where ``back`` undoes ``past``; ``once_well`` takes back praise alone, after which
    things changed.
    """

    ABSENT = "absent"
    UNSURE = "unsure"
    UNTOLD = "untold"
    PAST = "past"
    OVER = "over"
    ONCE_WELL = "once_well"
    BACK = "back"
    LIKELY = "likely"


class Side(StrEnum):
    """Where the reach of a cue lies: after it, after it up to a hard break (``rest``), before it in its clause, before
    it in its sentence (``earlier``), its whole clause or its whole sentence."""

    FOLLOWING = "following"
    PRECEDING = "preceding"
    EARLIER = "earlier"
    CLAUSE = "clause"
    SENTENCE = "sentence"
    REST = "rest"


@frozen
class Concept:
    """Words and short units that mean the same; ``parents`` are more general concepts that it satisfies as well."""

    concept: str
    words: tuple[str, ...]
    parents: tuple[str, ...] = field(default=(), metadata={"key": "is"})


@frozen
class WordLists:
    """``stop`` words carry no meaning in a phrase; ``irregular`` forms stand for a base; ``ordinary`` words are never
    taken for slips; ``dotted`` words are abbreviations, ``courtesy`` words need no understanding; ``particles`` go with
    a verb or tell how it happens ("flop about"). Words of fewer letters than ``slip_letters`` are left alone."""

    stop: tuple[str, ...]
    irregular: tuple[tuple[str, str], ...]
    ordinary: tuple[str, ...]
    dotted: tuple[str, ...]
    courtesy: tuple[str, ...]
    particles: tuple[str, ...]
    slip_letters: int


@frozen
class Cue:
    """Words that deny, doubt or move to another time what stands within ``reach`` words on one side.

    ``certainty`` in (0, 1] is how far the effect can be relied on.
    """

    effect: Effect
    side: Side
    words: tuple[str, ...]
    reach: int = 9
    certainty: float = 1.0


@frozen
class Questions:
    """``ask`` words open a question of yes or no, ``presume`` words one that takes the thing for granted.

    ``general`` words before a bare noun ("do bulbs ...") ask about all plants and not about the writer's own;
    ``supposing`` words within a question begin what is only supposed ("should I cut it when it goes brown?"). The
    writer answers a short question himself by a sentence that begins with words of ``answered_no`` or ``answered_yes``.
    """

    ask: tuple[str, ...]
    presume: tuple[str, ...]
    general: tuple[str, ...]
    supposing: tuple[str, ...]
    answered_no: tuple[str, ...]
    answered_yes: tuple[str, ...]


@frozen
class Scopes:
    """How a sentence falls into clauses and how far a denial or doubt reaches. ``past`` verbs tell of another time,
    ``present`` ones behind a time of how it is now; ``turns`` at the head of a clause tell that things have changed;
    pairs of ``unbroken`` words begin no clause. What is denied behind ``havers`` is a thing not had, and a verb after
    it tells something new: "bulbs with no leaf have shrunk". ``having`` words give
    a mark its rim, ``partitives`` join a number to what it counts."""

    breaks: tuple[str, ...]
    unbroken: tuple[tuple[str, str], ...]
    starters: tuple[str, ...]
    definite: tuple[str, ...]
    subjects: tuple[str, ...]
    writer: tuple[str, ...]
    copulas: tuple[str, ...]
    past: tuple[str, ...]
    present: tuple[str, ...]
    turns: tuple[str, ...]
    relatives: tuple[str, ...]
    joiners: tuple[str, ...]
    alternatives: tuple[str, ...]
    relations: tuple[str, ...]
    ends: tuple[str, ...]
    articles: tuple[str, ...]
    grounds: tuple[str, ...]
    light: tuple[str, ...]
    see_through: tuple[str, ...]
    havers: tuple[str, ...]
    having: tuple[str, ...]
    partitives: tuple[str, ...]
    masks: tuple[str, ...]
    questions: Questions
    cues: tuple[Cue, ...]


@frozen
class Parts:
    """Which concepts name a part, which a pronoun may stand for, and which are made of a part and a modifier.

    ``heads`` name parts, those of ``around`` not of the plant itself; ``places`` are spots on a part; ``things`` are
    marks and animals. ``composed`` concepts are also met as a head and a modifier a few words apart. ``general``
    concepts stand for the plant as a whole, as ``single`` pronouns do, and what is said of it may be meant for the
    parts of ``assumed``. ``weak`` concepts say too little to be carried over without a pronoun,
    ``bound`` ones are never carried over. ``tints`` are colours, ``marks`` things that have a colour of their own and
    may have ``rims``, ``not_of_marks`` signs that are not told where a pronoun means such a mark; ``counts`` are
    words of number, which belong to what they stand before. ``several`` and ``lone`` are pronouns by number,
    ``personal`` ones stand alone, ``pointed`` words behind another make it point to a noun ("a few more flecks").
    ``deeds`` are words for parts that behind a pronoun tell what the plant did, ``occasions`` what a sign came after,
    often told in a clause of its own. ``sections`` pair the part of a sign file with the concepts it is about.
    """

    heads: tuple[str, ...]
    around: tuple[str, ...]
    places: tuple[str, ...]
    things: tuple[str, ...]
    composed: tuple[str, ...]
    general: tuple[str, ...]
    assumed: tuple[str, ...]
    pronouns: tuple[str, ...]
    personal: tuple[str, ...]
    pointed: tuple[str, ...]
    tints: tuple[str, ...]
    marks: tuple[str, ...]
    rims: tuple[str, ...]
    not_of_marks: tuple[str, ...]
    counts: tuple[str, ...]
    bound: tuple[str, ...]
    single: tuple[str, ...]
    several: tuple[str, ...]
    lone: tuple[str, ...]
    weak: tuple[str, ...]
    deeds: tuple[str, ...]
    occasions: tuple[str, ...]
    sections: tuple[tuple[str, str], ...]


@frozen
class Denial:
    """A finding that shows signs to be absent: "firm leaves" are not limp, "no bugs" are no mealybugs.

    With ``negated`` the words must stand denied, else they must stand affirmed. A ``settles`` denial outweighs the
    signs even where they are told: bumps that stay put are no scale.
    """

    words: tuple[str, ...]
    signs: tuple[str, ...]
    negated: bool = False
    settles: bool = False


@frozen
class Health:
    """Words that call a part healthy deny every sign of its kind, save ``spared`` ones that do not hurt.

    ``pieces`` are words for less than a whole part, ``few`` for not all of them, ``then`` words that set praise in the
    past to another time, and ``follow`` nouns behind which praise is still praise ("good condition").
    """

    words: tuple[str, ...]
    rest: tuple[str, ...]
    others: tuple[str, ...]
    pieces: tuple[str, ...]
    few: tuple[str, ...]
    then: tuple[str, ...]
    follow: tuple[str, ...]
    parts: tuple[tuple[str, str], ...]
    spared: tuple[str, ...]
    of_others: tuple[str, ...]
    certainty: float
    denials: tuple[Denial, ...]


@frozen
class ContextWords:
    """Phrases that tell one value of the plant's context; the higher ``rank`` wins where several are told."""

    value: str
    words: tuple[str, ...]
    not_words: tuple[str, ...] = ()
    rank: int = 1


@frozen
class StageWords:
    """Phrases for stages and sizes."""

    stages: tuple[ContextWords, ...]
    sizes: tuple[ContextWords, ...]


@frozen
class MediumWords:
    """Phrases for media and for whether the pot has a reservoir (values yes and no)."""

    media: tuple[ContextWords, ...]
    reservoirs: tuple[ContextWords, ...]


@frozen
class Region:
    """Names of places on one half of the earth: north or south."""

    hemisphere: str
    words: tuple[str, ...]


@frozen
class PlaceWords:
    """Phrases for where the plant stands, and names of regions."""

    places: tuple[ContextWords, ...]
    regions: tuple[Region, ...]


@frozen
class EventWords:
    """Phrases for something done or happened.

    ``default_days`` is taken where no time is told (-1: then there is no event). A denied event is taken not to have
    happened within ``never_within_days`` (0: nothing is concluded). A stretch of time told of a ``since`` event
    ("mine for three weeks") counts from the event, that of a ``lasts`` event ("away for a fortnight") where no other
    time is told. ``lately`` and ``long_ago`` name habits that an event amounts to if it lies at most, or at least, so
    many days back.
    """

    event: str
    words: tuple[str, ...]
    not_words: tuple[str, ...] = ()
    default_days: int = -1
    never_within_days: int = 0
    since: bool = False
    lasts: bool = False
    lately: tuple[tuple[str, int], ...] = ()
    long_ago: tuple[tuple[str, int], ...] = ()


@frozen
class PlantTalk:
    """Words that turn to another plant: ``other`` before a name, ``aside`` for one clause, ``lasting``
    as long as sentences begin with a word of ``carries``; ``own`` turns back to the plant asked about.
    ``strangers`` are plants of another kind and places where none is kept: a clause with them is never the plant's own,
    unless a word of ``close`` stands before them ("beside my roses").

    ``bench`` names signs and habits that tell of the plants around and still belong to the plant asked about.
    """

    other: tuple[str, ...]
    aside: tuple[str, ...]
    lasting: tuple[str, ...]
    own: tuple[str, ...]
    carries: tuple[str, ...]
    bench: tuple[str, ...]
    strangers: tuple[str, ...] = ()
    close: tuple[str, ...] = ()


@frozen
class SpeechData:
    """Everything that knowledge/speech says; each field but the first is a file."""

    concepts: tuple[Concept, ...]
    words: WordLists
    scopes: Scopes
    parts: Parts
    health: Health
    stages: StageWords
    media: MediumWords
    places: PlaceWords
    events: tuple[EventWords, ...]
    times: TimeWords
    quantities: QuantityWords
    plants: PlantTalk
    certainties: Certainties
