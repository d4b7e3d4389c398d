"""The vocabulary turned into tables. All are plain values, so that a lexicon can be kept between runs."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from diagnose.frozen import frozen
from diagnose.intake.letters.measures import MeasureTable, measure_table
from diagnose.intake.letters.phrases import PhraseTable, phrase_table
from diagnose.intake.letters.plants import PlantTable, plant_table
from diagnose.intake.letters.scopes import ScopeTable, scope_table
from diagnose.intake.letters.slips import SlipTable, slip_table
from diagnose.intake.letters.stems import stem
from diagnose.intake.letters.times import TimeTable, time_table
from diagnose.intake.letters.tries import split_words
from diagnose.intake.letters.words import ConceptTable, Sense, SenseTable, concept_table, sense_table
from diagnose.model.speech import SpeechData
from diagnose.model.vocabulary import Vocabulary

__all__ = ["Lexicon", "PartTable", "build_lexicon"]


_LONG_WORD = 7


@frozen
class PartTable:
    """Concepts that name parts, spots on parts and things; ``composed`` are (head item, modifier item, sense),
    ``split`` the head and modifier items of a composed item."""

    heads: frozenset[str]
    around: frozenset[str]
    places: frozenset[str]
    things: frozenset[str]
    general: frozenset[str]
    pronouns: frozenset[str]
    personal: frozenset[str]
    pointed: frozenset[str]
    tints: frozenset[str]
    marks: frozenset[str]
    rims: frozenset[str]
    not_of_marks: frozenset[str]
    counts: frozenset[str]
    bound: frozenset[str]
    single: frozenset[str]
    several: frozenset[str]
    lone: frozenset[str]
    weak: frozenset[str]
    deeds: frozenset[str]
    occasions: frozenset[str]
    sections: Mapping[str, frozenset[str]]
    section_items: Mapping[str, frozenset[int]]
    composed: tuple[tuple[int, int, Sense], ...]
    split: Mapping[int, tuple[int, int]]
    assumed: frozenset[int]


@frozen
class Lexicon:
    """Everything that is looked up while reading."""

    senses: SenseTable
    phrases: PhraseTable
    parts: PartTable
    scopes: ScopeTable
    times: TimeTable
    measures: MeasureTable
    plants: PlantTable
    slips: SlipTable
    known: frozenset[str]
    base: Mapping[str, str]
    dotted: frozenset[str]
    idle: frozenset[str]
    speech: SpeechData
    yields: Mapping[str, frozenset[str]]
    yearly: frozenset[str]


def build_lexicon(vocabulary: Vocabulary) -> Lexicon:
    """The tables for a vocabulary; built once, never changed."""
    concepts = concept_table(vocabulary)
    phrases = phrase_table(vocabulary, concepts)
    senses = sense_table(concepts, phrases.item_of)
    speech = vocabulary.speech
    lists = speech.words
    trade = _trade_words(vocabulary)
    known = trade | _other_words(vocabulary, concepts)
    return Lexicon(
        senses, phrases, _part_table(vocabulary, concepts, phrases, senses), scope_table(speech.scopes, concepts.base),
        time_table(speech.times), measure_table(speech.quantities), plant_table(speech.plants, concepts.base),
        slip_table(trade, lists.slip_letters), frozenset(known | {stem(word) for word in known}),
        concepts.base, frozenset(lists.dotted),
        frozenset((*lists.stop, *lists.courtesy, *lists.particles)), speech,
        {sign.sign: frozenset(sign.yields_to) for sign in vocabulary.signs if sign.yields_to},
        frozenset(habit.habit for habit in vocabulary.habits if habit.yearly))


def _trade_words(vocabulary: Vocabulary) -> set[str]:
    """Words that a slip may have meant: those of plant groups, single words of concepts, and long ones of units."""
    texts = [split_words(word) for concept in vocabulary.speech.concepts for word in concept.words]
    found = {word for words in texts for word in words if len(words) == 1 or len(word) >= _LONG_WORD}
    found |= {word for group in vocabulary.groups for name in group.names for word in split_words(name)}
    return found - {*vocabulary.speech.words.stop, *vocabulary.speech.words.ordinary}


def _other_words(vocabulary: Vocabulary, concepts: ConceptTable) -> set[str]:
    """Words that are known and need no correction."""
    speech = vocabulary.speech
    lists = speech.words
    texts = [*concepts.base, *concepts.base.values(), *lists.stop, *lists.ordinary, *lists.courtesy,
             *lists.particles]
    texts += [word for concept in speech.concepts for word in concept.words]
    texts += [word for cue in speech.scopes.cues for word in cue.words]
    texts += [word for region in speech.places.regions for word in region.words]
    texts += [word for sign in vocabulary.signs for word in (*sign.words, *sign.words_alone)]
    texts += [word for habit in vocabulary.habits for word in (*habit.words, *habit.words_alone)]
    texts += [word for event in speech.events for word in event.words]
    texts += [word for row in speech.quantities.quantities for word in row.context]
    texts += [*speech.quantities.warm_words, *(word for word, _ in speech.times.numbers)]
    return {word for text in texts for word in split_words(text)}


def _part_table(vocabulary: Vocabulary, concepts: ConceptTable, phrases: PhraseTable, senses: SenseTable) -> PartTable:
    parts = vocabulary.speech.parts
    heads = frozenset(parts.heads)
    composed, split = [], {}
    for name in parts.composed:
        above = concepts.above.get(name, frozenset())
        parents = sorted(parent for parent in above if parent != name)
        head = next((one for one in parts.heads if one in parents), "")
        modifier = next((one for one in parents if not concepts.above[one] & heads), "")
        if head and modifier:
            items = tuple(sorted({item for one in above for item in phrases.item_of.get(one, ())}))
            pair = (phrases.own_item[head], phrases.own_item[modifier])
            composed.append((*pair, Sense(items, above)))
            split[phrases.own_item[name]] = pair
    assumed = frozenset(item for name in parts.assumed for item in phrases.item_of.get(name, ()))
    names = ("around", "places", "things", "general", "pronouns", "personal", "pointed", "tints", "marks", "rims",
             "not_of_marks", "counts", "bound", "single", "several", "lone", "weak", "deeds", "occasions")
    sets = {name: frozenset(getattr(parts, name)) for name in names}
    sections = _sections(parts.sections)
    section_items = {section: frozenset(item for name in names for item in phrases.item_of.get(name, ()))
                     for section, names in sections.items()}
    return PartTable(heads=heads, **sets, sections=sections, section_items=section_items,
                     composed=tuple(composed), split=split,
                     assumed=assumed)


def _sections(pairs: Iterable[tuple[str, str]]) -> dict[str, frozenset[str]]:
    found: dict[str, set[str]] = {}
    for section, head in pairs:
        found.setdefault(section, set()).add(head)
    return {section: frozenset(heads) for section, heads in found.items()}
