"""How growers put things: words, cues, phrases and units as frozen values, and the vocabulary a letter is read with.

The loader builds ``SpeechData`` from knowledge/speech; the keys of those files are the names of the fields here
(``is`` stands for ``parents``). A phrase is a few words in any order, each standing for its whole concept.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

__all__ = [
    "AfterWords", "Concept", "ContextWords", "Cue", "Denial", "Effect", "EventWords", "FeastDay", "GroupNames",
    "HabitPhrases", "Health", "Parts", "PastDays", "PlantTalk", "Quantity", "QuantityUnit", "Questions", "Rates",
    "Region", "Scopes", "Side", "SignPhrases", "SpeechData", "TimeWords", "Vocabulary", "WordLists",
]


class Effect(StrEnum):
    """What a cue does to the things told within its reach."""

    ABSENT = "absent"
    UNSURE = "unsure"
    UNTOLD = "untold"
    PAST = "past"
    BACK = "back"
    LIKELY = "likely"


class Side(StrEnum):
    """Where the reach of a cue lies: after it, before it, its whole clause or its whole sentence."""

    FOLLOWING = "following"
    PRECEDING = "preceding"
    CLAUSE = "clause"
    SENTENCE = "sentence"


@dataclass(frozen=True, slots=True)
class Concept:
    """Words and short units that mean the same; ``parents`` are more general concepts that it satisfies as well."""

    concept: str
    words: tuple[str, ...]
    parents: tuple[str, ...] = field(default=(), metadata={"key": "is"})


@dataclass(frozen=True, slots=True)
class WordLists:
    """``stop`` words carry no meaning in a phrase; ``irregular`` forms stand for a base; ``ordinary`` words are
    never taken for slips; ``letters_count`` is the shortest word that is looked at for slips."""

    stop: tuple[str, ...]
    irregular: tuple[tuple[str, str], ...]
    ordinary: tuple[str, ...]
    dotted: tuple[str, ...]
    letters_count: int


@dataclass(frozen=True, slots=True)
class Cue:
    """Words that deny, doubt or move to another time what stands within ``reach`` words on one side.

    ``certainty`` in (0, 1] is how far the effect can be relied on.
    """

    effect: Effect
    side: Side
    words: tuple[str, ...]
    reach: int = 9
    certainty: float = 1.0


@dataclass(frozen=True, slots=True)
class Questions:
    """``ask`` words open a question of yes or no, ``presume`` words one that takes the thing for granted."""

    ask: tuple[str, ...]
    presume: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Scopes:
    """How a sentence falls into clauses and how far a denial or doubt reaches."""

    breaks: tuple[str, ...]
    starters: tuple[str, ...]
    copulas: tuple[str, ...]
    joiners: tuple[str, ...]
    alternatives: tuple[str, ...]
    relations: tuple[str, ...]
    see_through: tuple[str, ...]
    masks: tuple[str, ...]
    questions: Questions
    cues: tuple[Cue, ...]


@dataclass(frozen=True, slots=True)
class Parts:
    """Which concepts name a part, which are carried on by a pronoun, and which are made of a part and a modifier.

    ``heads`` name parts; ``places`` are spots on a part; ``things`` are marks and animals a pronoun may stand for;
    ``composed`` concepts are also met as a head and a modifier a few words apart; ``general`` concepts stand for the
    plant as a whole, and a statement about it is taken to be about the parts of ``assumed``.
    """

    heads: tuple[str, ...]
    places: tuple[str, ...]
    things: tuple[str, ...]
    composed: tuple[str, ...]
    general: tuple[str, ...]
    assumed: tuple[str, ...]
    pronouns: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Denial:
    """A finding that shows signs to be absent: "firm leaves" are not limp, "no bugs" are no mealybugs.

    With ``negated`` the words must stand denied, else they must stand affirmed. ``part`` may be empty.
    """

    part: str
    words: tuple[str, ...]
    signs: tuple[str, ...]
    negated: bool = False
    certainty: float = 0.6


@dataclass(frozen=True, slots=True)
class Health:
    """Words that call a part healthy deny every sign of its kind, save ``spared`` ones that do not hurt."""

    words: tuple[str, ...]
    rest: tuple[str, ...]
    others: tuple[str, ...]
    parts: tuple[tuple[str, str], ...]
    spared: tuple[str, ...]
    of_others: tuple[str, ...]
    certainty: float
    denials: tuple[Denial, ...]


@dataclass(frozen=True, slots=True)
class ContextWords:
    """Phrases that tell the stage, medium, size, place, reservoir or hemisphere; higher ``rank`` wins."""

    value: str
    words: tuple[str, ...]
    not_words: tuple[str, ...] = ()
    rank: int = 1


@dataclass(frozen=True, slots=True)
class EventWords:
    """Phrases for something done or happened. ``default_days`` is assumed where no time is told (-1: none is).

    ``since`` events take a stretch of time ("for three weeks") for the time since they happened.
    """

    event: str
    words: tuple[str, ...]
    not_words: tuple[str, ...] = ()
    default_days: int = -1
    never_within_days: int = 0
    since: bool = False


@dataclass(frozen=True, slots=True)
class PastDays:
    """Words for a time before the date, in days."""

    days: int
    words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FeastDay:
    """A day of the calendar that letters name; ``month`` 1 to 12."""

    month: int
    day: int
    words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class AfterWords:
    """A season with the month of the northern half of the earth in which it begins."""

    season: str
    month: int
    words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TimeWords:
    """Numbers, units and names by which letters tell when something was."""

    numbers: tuple[tuple[str, float], ...]
    units: tuple[tuple[str, float], ...]
    fuzzy: tuple[str, ...]
    ago: tuple[str, ...]
    last: tuple[str, ...]
    since: tuple[str, ...]
    dated: tuple[str, ...]
    days: tuple[PastDays, ...]
    months: tuple[tuple[str, int], ...]
    unsure_months: tuple[str, ...]
    feasts: tuple[FeastDay, ...]
    seasons: tuple[AfterWords, ...]
    onset: tuple[str, ...]
    old_days: int


@dataclass(frozen=True, slots=True)
class QuantityUnit:
    """How a unit is written after or before its number; value in the measure's unit = (number - ``minus``) x ``times``."""

    unit: str
    words: tuple[str, ...]
    minus: float = 0.0
    times: float = 1.0
    before: bool = False


@dataclass(frozen=True, slots=True)
class Quantity:
    """A quantity told in a letter and the measures it stands for.

    ``context`` words must stand near the number unless ``bare`` allows the unit alone; ``low`` to ``high`` is what
    can be meant, in ``unit``. ``takes`` says which end of a range counts: low, middle or high.
    """

    quantity: str
    measures: tuple[str, ...]
    unit: str
    units: tuple[str, ...]
    context: tuple[str, ...]
    not_context: tuple[str, ...]
    low: float
    high: float
    takes: str = "middle"
    bare: bool = False
    guess: str = ""


@dataclass(frozen=True, slots=True)
class Rates:
    """Words of how often, and what is done at that rate."""

    every: tuple[str, ...]
    per: tuple[str, ...]
    times: tuple[tuple[str, float], ...]
    adverbs: tuple[tuple[str, float], ...]
    other: tuple[str, ...]
    water: tuple[str, ...]
    feed: tuple[str, ...]
    neither: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Region:
    """Places by the half of the earth they lie in."""

    hemisphere: str
    words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PlantTalk:
    """Words that turn to another plant: ``other`` before a name, ``aside`` for plants of the bench or of others."""

    other: tuple[str, ...]
    aside: tuple[str, ...]
    same: tuple[str, ...]
    name_rank: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SpeechData:
    """Everything that knowledge/speech says."""

    concepts: tuple[Concept, ...]
    word_lists: WordLists
    scopes: Scopes
    parts: Parts
    health: Health
    stages: tuple[ContextWords, ...]
    media: tuple[ContextWords, ...]
    sizes: tuple[ContextWords, ...]
    places: tuple[ContextWords, ...]
    reservoirs: tuple[ContextWords, ...]
    events: tuple[EventWords, ...]
    times: TimeWords
    units: tuple[QuantityUnit, ...]
    quantities: tuple[Quantity, ...]
    rates: Rates
    regions: tuple[Region, ...]
    plant_talk: PlantTalk


@dataclass(frozen=True, slots=True)
class SignPhrases:
    """A sign with its phrases; ``part`` is that of its file."""

    sign: str
    part: str
    words: tuple[str, ...]
    not_words: tuple[str, ...] = ()
    implies: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class HabitPhrases:
    """A habit or circumstance with its phrases."""

    habit: str
    words: tuple[str, ...]
    not_words: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class GroupNames:
    """A plant group with the names growers use, in small letters."""

    group: str
    names: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """All that the letter reader needs to know of the rule base."""

    signs: tuple[SignPhrases, ...]
    habits: tuple[HabitPhrases, ...]
    groups: tuple[GroupNames, ...]
    speech: SpeechData
