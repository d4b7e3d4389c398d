"""The reader of the project's own rule base, built once, and the date of all letters read in these tests."""

from __future__ import annotations

import datetime as dt
from functools import cache

from diagnose.intake.letters import LetterReader, build_lexicon
from diagnose.intake.letters.lexicon import Lexicon
from diagnose.intake.letters.tokens import sentences_of
from diagnose.intake.letters.view import View, view_of
from diagnose.knowledge.folder import load
from diagnose.knowledge.store import default_folder
from diagnose.knowledge.vocabulary import read_vocabulary
from diagnose.model.facts import Case
from diagnose.model.vocabulary import Vocabulary

DATE = dt.date(2026, 3, 2)


@cache
def vocabulary() -> Vocabulary:
    """All words of the rule base."""
    folder = default_folder()
    return read_vocabulary(load(folder), folder)


@cache
def lexicon() -> Lexicon:
    """The tables for them."""
    return build_lexicon(vocabulary())


@cache
def reader() -> LetterReader:
    """The reader."""
    return LetterReader(vocabulary())


def read(text: str) -> Case:
    """A letter read as of 2026-03-02."""
    return reader().read(text, date=DATE)


def view(text: str) -> View:
    """The first sentence of a text, looked up."""
    return view_of(next(sentences_of(text, lexicon().dotted)), lexicon(), {})
