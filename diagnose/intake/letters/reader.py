"""Reads a grower's letter as an experienced volunteer does: what is told, what is denied, what is only wondered at."""

from __future__ import annotations

import datetime as dt

from diagnose.intake.letters.clean import clean_letter
from diagnose.intake.letters.health import health_table
from diagnose.intake.letters.lexicon import build_lexicon
from diagnose.intake.letters.sentences import gathered
from diagnose.intake.letters.summary import summed_up
from diagnose.model.facts import Case, PlantContext
from diagnose.model.vocabulary import Vocabulary

__all__ = ["LetterReader"]

NOTHING_GIVEN = PlantContext()
SOUTH = "south"


class LetterReader:
    """Turns letters into cases. Built once from a vocabulary; keeps nothing between letters."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self._speech = vocabulary.speech
        self._health = health_table(vocabulary)
        self._lexicon = build_lexicon(vocabulary)

    def read(self, text: str, *, date: dt.date, given: PlantContext = NOTHING_GIVEN) -> Case:
        """The facts of a letter as of a date. What ``given`` says of the plant wins over the letter's words."""
        clean = clean_letter(text)
        found = gathered(clean, self._lexicon, date, south=given.hemisphere == SOUTH)
        if not given.hemisphere and found.hemisphere == SOUTH:
            found = gathered(clean, self._lexicon, date, south=True)
        return summed_up(found, clean, self._speech, self._health, date, given, self._lexicon.yields)
