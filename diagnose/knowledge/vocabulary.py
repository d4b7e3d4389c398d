"""All words a letter is read with: the phrases of signs and habits, the names of groups, and the speech data."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from pathlib import Path

from diagnose.knowledge.reading import read_rule_file
from diagnose.knowledge.speech import read_speech, vocabulary_problems
from diagnose.model.knowledge import KnowledgeBase
from diagnose.model.speech import SpeechData
from diagnose.model.vocabulary import GroupNames, HabitPhrases, SignPhrases, Vocabulary
from diagnose.problems import InputError, Problem, Where, nearest

__all__ = ["read_vocabulary"]


def read_vocabulary(base: KnowledgeBase, folder: Path) -> Vocabulary:
    """The vocabulary of a rule base and the speech files of its folder. Raises InputError with every mistake."""
    files = {path.stem: read_rule_file(path, f"{folder.name}/speech/{path.name}")
             for path in sorted((folder / "speech").glob("*.yaml"))}
    vocabulary = Vocabulary(
        tuple(SignPhrases(s.id, s.part, s.words, s.not_words, s.words_alone, s.implies,
                          s.yields_to) for s in base.signs.values()),
        tuple(HabitPhrases(h.id, h.words, h.not_words, h.words_alone, h.yearly) for h in base.habits.values()),
        tuple(GroupNames(g.id, g.names) for g in base.groups.values()),
        read_speech(files),
    )
    problems = [*vocabulary_problems(vocabulary), *_foreign_words(base, vocabulary.speech)]
    if problems:
        raise InputError(problems)
    return vocabulary


def _foreign_words(base: KnowledgeBase, speech: SpeechData) -> Iterator[Problem]:
    """Words and ids that the speech data gives and this rule base does not know."""
    for file, kind, code, told, known in _given(base, speech):
        for word in sorted(set(told) - set(known)):
            yield Problem(Where(f"speech/{file}.yaml"), code, f'"{word}" is not a {kind} of this rule base.',
                          nearest(word, known))


def _given(base: KnowledgeBase, speech: SpeechData) -> Iterator[tuple[str, str, str, Iterable[str], Collection[str]]]:
    """By file and kind of thing: the code of a mistake, what the speech data names and what the rule base knows."""
    amounts = speech.quantities
    measures = [*(each for quantity in amounts.quantities for each in quantity.measures),
                *(given.measure for deed in amounts.rates.deeds for given in deed.gives),
                *(each for told in amounts.told_by for each in told.measures)]
    yield "stages", "stage", "unknown-word", (each.value for each in speech.stages.stages), base.terms.stages
    yield "stages", "size", "unknown-word", (each.value for each in speech.stages.sizes), base.terms.sizes
    yield "media", "medium", "unknown-word", (each.value for each in speech.media.media), base.terms.media
    yield "quantities", "measure", "unknown-measure", measures, base.measures
    yield "quantities", "habit", "unknown-habit", (told.habit for told in amounts.told_by), base.habits
    yield "events", "habit", "unknown-habit", (
        habit for event in speech.events for habit, _ in (*event.lately, *event.long_ago)), base.habits
    yield "plants", "sign or habit", "unknown-sign", speech.plants.bench, {*base.signs, *base.habits}
