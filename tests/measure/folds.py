"""The score on letters of which no phrase may have been taken: development letters in five folds.

A phrase of a sign may have been taken from a development letter if it has three or more words that carry meaning, one
sentence of that letter has them all, and no sentence of another text of the tests has: no other letter, no letter
invented for the project, no phrase case, no published row or statement. While the letters of a fold are read, the
phrases that may have been taken from them are withheld. A phrase is met in two ways: "by word", where a sentence has
its very words in whatever form, and "by sense", where it has words of the same concepts. Words of concepts, look-alikes
(``not_words``) and the phrases of habits, events and health are not withheld.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Mapping, Set
from dataclasses import dataclass, replace
from itertools import chain
from pathlib import Path
from typing import Any

import yaml

from diagnose.intake.letters.clean import clean_letter
from diagnose.intake.letters.lexicon import Lexicon, build_lexicon
from diagnose.intake.letters.phrases import Kind, Phrase
from diagnose.intake.letters.reader import LetterReader
from diagnose.intake.letters.stems import stem
from diagnose.intake.letters.tokens import sentences_of
from diagnose.intake.letters.tries import split_words
from diagnose.intake.letters.view import view_of
from diagnose.intake.letters.words import concept_table
from diagnose.knowledge.store import default_folder
from diagnose.knowledge.vocabulary import read_vocabulary
from diagnose.model.vocabulary import Vocabulary
from diagnose.workbench import Workbench
from tests.measure.scores import DATA, DAY, Labelled, Scored, development_letters, published_rows

__all__ = ["WAYS", "SignPhrase", "Withheld", "score_without", "suspects", "with_words", "without"]

FOLDS = 5
FEWEST_WORDS = 3
PHRASES = Path(__file__).parent.parent / "phrases"


@dataclass(frozen=True, slots=True)
class SignPhrase:
    """A phrase of a sign: its text, the stems of its words that carry meaning, and its items for the reader."""

    sign: str
    text: str
    stems: frozenset[str]
    items: frozenset[int]


@dataclass(frozen=True, slots=True)
class Withheld:
    """The scores of all letters, each read without the phrases that may be its own, and how many those were."""

    scored: list[Scored]
    phrases: int


Words = Set[Any]  # stems or items
Way = tuple[Callable[[str, Lexicon], Iterator[Words]], Callable[[SignPhrase], Words]]  # of sentences, of a phrase


def _word_sentences(text: str, lexicon: Lexicon) -> Iterator[Words]:
    """The stems of each sentence."""
    for sentence in sentences_of(clean_letter(text).text, lexicon.dotted):
        yield {stem(lexicon.base.get(word, word)) for word in sentence.words}


def _sense_sentences(text: str, lexicon: Lexicon) -> Iterator[Words]:
    """The items that the words of each sentence stand for."""
    for sentence in sentences_of(clean_letter(text).text, lexicon.dotted):
        yield view_of(sentence, lexicon, {}).where.keys()


WAYS: Mapping[str, Way] = {
    "by word": (_word_sentences, lambda phrase: phrase.stems),
    "by sense": (_sense_sentences, lambda phrase: phrase.items),
}


def _items(phrase: Phrase) -> frozenset[int]:
    return frozenset({*phrase.core, phrase.part, phrase.general} - {-1})


def with_words(vocabulary: Vocabulary, lexicon: Lexicon) -> list[SignPhrase]:
    """The phrases of signs that have at least three words that carry meaning."""
    concepts = concept_table(vocabulary)
    texts = [(sign.sign, text) for sign in vocabulary.signs for text in (*sign.words, *sign.words_alone)
             if concepts.pieces(text)]
    ready = [phrase for phrase in lexicon.phrases.phrases if phrase.kind is Kind.SIGN and not phrase.veto]
    found = [SignPhrase(sign, text, _stems(text, lexicon), _items(phrase))
             for (sign, text), phrase in zip(texts, ready, strict=True)]
    return [phrase for phrase in found if len(phrase.stems) >= FEWEST_WORDS]


def _stems(text: str, lexicon: Lexicon) -> frozenset[str]:
    words = split_words(text.replace('"', " ").replace("_", " "))
    return frozenset(stem(lexicon.base.get(word, word)) for word in words if word not in lexicon.speech.words.stop)


def other_texts() -> Iterator[str]:
    """All texts of the tests but the development letters."""
    for row in (DATA / "letters_invented.jsonl").read_text(encoding="utf-8").splitlines():
        yield json.loads(row)["letter"]
    for path in sorted(PHRASES.glob("*.yaml")):
        yield from (case["letter"] for case in yaml.safe_load(path.read_text(encoding="utf-8"))["cases"])
    yield from (row.text for row in published_rows())
    statements = yaml.safe_load((DATA / "statements.yaml").read_text(encoding="utf-8"))["statements"]
    yield from (entry["said"] for entry in statements)


def suspects(phrases: Iterable[SignPhrase], lexicon: Lexicon, way: Way, letters: Iterable[Labelled],
             others: Iterable[str]) -> dict[str, list[SignPhrase]]:
    """By letter, the phrases that may have been taken from it: no other letter and no other text has them."""
    sentences, parts = way
    told = {letter.id: list(sentences(letter.text, lexicon)) for letter in letters}
    elsewhere = list(chain.from_iterable(sentences(text, lexicon) for text in others))
    found: dict[str, list[SignPhrase]] = {}
    for phrase in phrases:
        where = [name for name, lines in told.items() if any(parts(phrase) <= line for line in lines)]
        if len(where) == 1 and not any(parts(phrase) <= line for line in elsewhere):
            found.setdefault(where[0], []).append(phrase)
    return found


def without(vocabulary: Vocabulary, phrases: Iterable[SignPhrase]) -> Vocabulary:
    """The vocabulary less some phrases of signs."""
    left_out = {(phrase.sign, phrase.text) for phrase in phrases}
    signs = tuple(replace(sign, words=tuple(text for text in sign.words if (sign.sign, text) not in left_out))
                  for sign in vocabulary.signs)
    return replace(vocabulary, signs=signs)


def score_without(bench: Workbench, way: Way) -> Withheld:
    """Every letter's result, read without the phrases that may have been taken from the letters of its fold."""
    vocabulary = read_vocabulary(bench.base, default_folder())
    lexicon = build_lexicon(vocabulary)
    letters, scored = development_letters(), []
    taken = suspects(with_words(vocabulary, lexicon), lexicon, way, letters, other_texts())
    for number in range(FOLDS):
        fold = letters[number::FOLDS]
        reader = LetterReader(without(vocabulary, chain.from_iterable(taken.get(one.id, ()) for one in fold)))
        scored += [_scored(bench, reader, one) for one in fold]
    return Withheld(scored, sum(map(len, taken.values())))


def _scored(bench: Workbench, reader: LetterReader, letter: Labelled) -> Scored:
    return Scored(letter, bench.answer(reader.read(letter.text, date=DAY)))
