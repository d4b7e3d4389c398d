"""The workbench: a rule base opened once, ready to turn letters, answers and records into results.

This is where the rooms meet: intake gives facts, reasoning gives the answer, and neither knows the other.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from pathlib import Path

from diagnose.intake.letters.lexicon import Lexicon
from diagnose.intake.letters.reader import LetterReader
from diagnose.knowledge import words
from diagnose.knowledge.store import default_folder, kept
from diagnose.model.facts import Case, PlantContext
from diagnose.model.knowledge import KnowledgeBase
from diagnose.model.result import Result
from diagnose.model.speech import Vocabulary
from diagnose.problems import InputError, Where, nearest
from diagnose.reason.consult import result_of
from diagnose.reason.rulebook import Rulebook
from diagnose.reason.standing import UNKNOWN_GROUP, Standing, stand

__all__ = ["CaseRequest", "Workbench"]


@dataclass(frozen=True, slots=True)
class CaseRequest:
    """What is known of a case besides its letter. Empty text means not said; ``date`` is the day it is judged as of."""

    date: dt.date
    group: str = ""
    stage: str = ""
    medium: str = ""
    records: Path | None = None
    plant: str = ""
    date_order: str = ""


@dataclass(frozen=True, slots=True)
class _Parsed:
    """What is kept of a knowledge folder between runs."""

    base: KnowledgeBase
    vocabulary: Vocabulary
    lexicon: Lexicon


class Workbench:
    """An opened rule base with its compiled rules and its reader of letters."""

    def __init__(self, base: KnowledgeBase, reader: LetterReader) -> None:
        self.base = base
        self.rulebook = Rulebook(base)
        self.reader = reader

    @classmethod
    def open(cls, folder: Path | None = None) -> Workbench:
        """Open the rule base of a folder, by default the one of the project. Raises InputError."""
        place = folder or default_folder()
        parsed = kept(place, _Parsed, lambda: _parse(place))
        return cls(parsed.base, LetterReader(parsed.vocabulary, parsed.lexicon))

    def case(self, letter: str, request: CaseRequest) -> Case:
        """The facts of a letter (which may be empty), of what the form says and of the records, if any."""
        self._check(request)
        given = PlantContext(group=request.group, stage=request.stage, medium=request.medium)
        case = self.reader.read(letter, date=request.date, given=given)
        return case if request.records is None else self._with_records(case, request, given, request.records)

    def _with_records(self, case: Case, request: CaseRequest, given: PlantContext, folder: Path) -> Case:
        from diagnose.intake.records import read_records  # loads only where records are read
        from diagnose.intake.records.merge import merged
        records = read_records(folder, plant=request.plant, date=request.date, date_order=request.date_order or None)
        return merged(case, given, records, requests=self.rulebook.requests, needs=self._needs, signs=self.base.signs,
                      read=lambda words: self.reader.read(words, date=request.date, given=given))

    def _needs(self, group: str) -> dict[str, float]:
        known = self.base.groups.get(group or UNKNOWN_GROUP)
        return {need: entry.value for need, entry in known.needs.items()} if known else {}

    def stand(self, case: Case) -> Standing:
        """How things stand in a case."""
        return stand(self.rulebook, case)

    def answer(self, case: Case) -> Result:
        """The result object of a case."""
        return result_of(self.rulebook, self.stand(case))

    def _check(self, request: CaseRequest) -> None:
        known = {"group": tuple(self.base.groups), "stage": words.STAGES, "medium": words.MEDIA}
        for option, choices in known.items():
            value = getattr(request, option)
            if value and value not in choices:
                raise InputError.one(Where(f"--{option}"), f"unknown-{option}", f'There is no {option} "{value}".',
                                     nearest(value, choices, 25))
        if request.records is not None and not request.plant:
            raise InputError.one(Where("--records"), "records-without-plant", "Records are given without a plant.",
                                 "Add --plant ID.")
        if request.records is None and request.plant:
            raise InputError.one(Where("--plant"), "plant-without-records", "A plant is named without records.",
                                 "Add --records DIR.")


def _parse(folder: Path) -> _Parsed:
    from diagnose.intake.letters.lexicon import build_lexicon  # only needed where no copy is kept
    from diagnose.knowledge.folder import load
    from diagnose.knowledge.vocabulary import read_vocabulary
    base = load(folder)
    vocabulary = read_vocabulary(base, folder)
    return _Parsed(base, vocabulary, build_lexicon(vocabulary))
