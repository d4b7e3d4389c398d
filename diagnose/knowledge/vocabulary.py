"""All words a letter is read with: the phrases of signs and habits, the names of groups, and the speech data."""

from __future__ import annotations

from pathlib import Path

from diagnose.knowledge.speech import read_speech, vocabulary_problems
from diagnose.marked_yaml import read_marked
from diagnose.model.knowledge import KnowledgeBase
from diagnose.model.speech import GroupNames, HabitPhrases, SignPhrases, Vocabulary
from diagnose.problems import InputError

__all__ = ["read_vocabulary"]


def read_vocabulary(base: KnowledgeBase, folder: Path) -> Vocabulary:
    """The vocabulary of a rule base and the speech files of its folder. Raises InputError with every mistake."""
    files = {path.stem: read_marked(path, f"{folder.name}/speech/{path.name}")
             for path in sorted((folder / "speech").glob("*.yaml"))}
    vocabulary = Vocabulary(
        tuple(SignPhrases(s.id, s.part, s.words, s.not_words, s.words_alone, s.implies) for s in base.signs.values()),
        tuple(HabitPhrases(h.id, h.words, h.not_words, h.words_alone) for h in base.habits.values()),
        tuple(GroupNames(g.id, g.names) for g in base.groups.values()),
        read_speech(files),
    )
    problems = vocabulary_problems(vocabulary)
    if problems:
        raise InputError(problems)
    return vocabulary
