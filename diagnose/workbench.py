"""The workbench: a rule base opened once, ready to turn letters, answers and records into results.

This is where the rooms meet: intake gives facts, reasoning gives the answer, and neither knows the other.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from diagnose.frozen import frozen
from diagnose.intake.letters.reader import LetterReader
from diagnose.knowledge.store import default_folder, kept, uncollected
from diagnose.model.facts import Case, PlantContext
from diagnose.model.knowledge import Group, KnowledgeBase
from diagnose.model.result import Result
from diagnose.model.water import GroupWater
from diagnose.problems import InputError, Where, nearest
from diagnose.reason.consult import consult, result_of
from diagnose.reason.rulebook import Rulebook
from diagnose.reason.standing import UNKNOWN_GROUP, Standing, stand

if TYPE_CHECKING:
    from diagnose.intake.records import Records
    from diagnose.model.history import History
    from diagnose.model.report import Report

__all__ = ["CaseRequest", "OpenedCase", "Workbench"]


@frozen
class CaseRequest:
    """What is known of a case besides its letter. Empty text means not said; ``date`` is the day it is judged as of."""

    date: dt.date
    group: str = ""
    stage: str = ""
    medium: str = ""
    records: Path | None = None
    plant: str = ""
    date_order: str = ""


@frozen
class OpenedCase:
    """The facts of a case and the records they were taken from, None where there are none."""

    case: Case
    records: Records | None = None


class Workbench:
    """An opened rule base with its compiled rules, its reader of letters and the folder it came from.

    It is what is kept of a folder between runs.
    """

    def __init__(self, base: KnowledgeBase, reader: LetterReader, folder: Path) -> None:
        self.base = base
        self.folder = folder
        self.rulebook = Rulebook(base)
        self.reader = reader

    @staticmethod
    def open(folder: Path | None = None) -> Workbench:
        """Open the rule base of a folder, by default the one of the project. Raises InputError."""
        place = folder or default_folder()
        with uncollected():
            bench = kept(place, Workbench, lambda: _opened(place))
            bench.folder = place  # the copy may have been made in another place with the same content
            return bench

    def case(self, letter: str, request: CaseRequest) -> Case:
        """The facts of a letter (which may be empty), of what the form says and of the records, if any."""
        return self.opened(letter, request).case

    def opened(self, letter: str, request: CaseRequest) -> OpenedCase:
        """The same with the records, of which a report shows more than the facts hold."""
        self._check(request)
        given = PlantContext(group=request.group, stage=request.stage, medium=request.medium)
        case = self.reader.read(letter, date=request.date, given=given)
        if request.records is None:
            return OpenedCase(case)
        from diagnose.intake.records import read_records  # loads only where records are read
        records = read_records(request.records, plant=request.plant, date=request.date,
                               date_order=request.date_order or None, words=self.base.terms)
        return OpenedCase(self.with_records(case, given, records), records)

    def with_records(self, case: Case, given: PlantContext, records: Records) -> Case:
        """The facts with those of a plant's records; what the form says of the plant (``given``) counts before them."""
        from diagnose.intake.records.merge import merged
        return merged(case, given, records, requests=self.rulebook.requests, needs=self._needs, water=self._water,
                      signs=self.base.signs,
                      read=lambda words: self.reader.read(words, date=records.date, given=given))

    def _group(self, group: str) -> Group | None:
        return self.base.groups.get(group or UNKNOWN_GROUP)

    def _needs(self, group: str) -> Mapping[str, float]:
        known = self._group(group)
        return {need: entry.value for need, entry in known.needs.items()} if known else {}

    def _water(self, group: str) -> GroupWater | None:
        known = self._group(group)
        return self.base.water.for_group(known.dry_out) if self.base.water and known else None

    def report(self, letter: str, case: Case, records: Records | None = None) -> Report:
        """The answer to a case with all that a page shows of its letter and its records."""
        from diagnose.model.report import Report
        from diagnose.reason.windows import damage_windows  # answers without pictures need neither
        standing = stand(self.rulebook, case, explained=True)
        result = result_of(self.rulebook, standing)
        history = self._history(case, records) if records is not None else None
        leading = dict.fromkeys([*(cause.cause for cause in result.causes[:1]), *result.best_explanation])
        stages = history.stages if history else ()
        windows = [window for cause in leading
                   for window in damage_windows(self.rulebook, standing, cause, stages)]
        onset = None if case.onset_days_ago is None else case.date - dt.timedelta(case.onset_days_ago)
        return Report(letter, result, self._group(case.plant.group), history, onset, tuple(windows))

    def _history(self, case: Case, records: Records) -> History:
        from diagnose.intake.records.history import history_of
        group = case.plant.group
        return history_of(records, gap_days=self._needs(group).get("water_gap_days"), water=self._water(group),
                          onset_days_ago=case.onset_days_ago)

    def stand(self, case: Case) -> Standing:
        """How things stand in a case."""
        return stand(self.rulebook, case)

    def answer(self, case: Case) -> Result:
        """The result object of a case."""
        return consult(self.rulebook, case)

    def _check(self, request: CaseRequest) -> None:
        known = {"group": tuple(self.base.groups), "stage": self.base.terms.stages, "medium": self.base.terms.media}
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


def _opened(folder: Path) -> Workbench:
    from diagnose.knowledge.folder import load  # only needed where no copy is kept
    from diagnose.knowledge.vocabulary import read_vocabulary
    base = load(folder)
    return Workbench(base, LetterReader(read_vocabulary(base, folder)), folder)
