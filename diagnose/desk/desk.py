"""A folder of cases opened: everything the screens of the desk show, as values."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from diagnose.desk.change import path_of_case
from diagnose.desk.club import Club, read_club, write_club
from diagnose.desk.judge import Judge, Judged, Opener
from diagnose.desk.listing import Progress, list_cases
from diagnose.frozen import frozen
from diagnose.intake.case_files import read_raw, shown_as
from diagnose.knowledge.store import default_folder
from diagnose.model.cases import DeskCase
from diagnose.model.knowledge import KnowledgeBase
from diagnose.problems import InputError, Where
from diagnose.reason.calibration import Report, club_priors, counts_of, report
from diagnose.reason.outbreaks import Outbreak, find_outbreaks
from diagnose.reason.similar import Alike, earlier_like
from diagnose.reason.triage import Due, Ranked, due_of, in_order, rank

__all__ = ["Desk"]


@frozen
class Desk:
    """An opened folder, judged as of ``today``. Make one with ``Desk.open``."""

    folder: Path
    today: dt.date
    judge: Judge
    club: Club

    @classmethod
    def open(cls, folder: Path, today: dt.date, knowledge: Path | None = None) -> Desk:
        """Open a folder of cases with a rule base, by default the project's own. Raises InputError."""
        if not folder.is_dir():
            raise InputError.one(Where(str(folder)), "no-folder", "There is no folder of this name.",
                                 "Name the folder that holds the case files.")
        club, place = read_club(folder), knowledge or default_folder()
        judge = Judge.open(Opener(place))
        if club.use:
            priors = club_priors(judge.book, club.counts, club.book_cases or judge.rules.club.book_cases)
            judge = Judge.open(Opener(place, tuple(sorted(priors.items()))))
        return cls(folder, today, judge, club)

    @property
    def base(self) -> KnowledgeBase:
        """The rule base."""
        return self.judge.bench.base

    def cases(self, progress: Progress = lambda done, total: None) -> list[DeskCase]:
        """Every case of the folder, judged."""
        return list_cases(self.folder, self.judge, self.today, progress)

    def ranked(self, cases: list[DeskCase]) -> list[Ranked]:
        """The cases, worst first."""
        return in_order(rank(self.base.scales, self.judge.rules.order, case, self.today) for case in cases)

    def outbreaks(self, cases: list[DeskCase]) -> list[Outbreak]:
        """What is going round."""
        return find_outbreaks(self.base, self.judge.rules.outbreak, cases, self.today)

    def due(self, cases: list[DeskCase]) -> list[Due]:
        """What is to be looked at again, by date."""
        found = [due for case in cases if (due := due_of(self.base, case, self.today))]
        return sorted(found, key=lambda due: (due.on, due.case))

    def one(self, case: str) -> Judged:
        """One case in full. Raises InputError where there is none or several."""
        path = path_of_case(self.folder, case)
        return self.judge.full(read_raw(path, self.folder), path, shown_as(path, self.folder), self.today)

    def earlier(self, file: str, cases: list[DeskCase]) -> list[Alike]:
        """Earlier cases like the one of this file."""
        case = next((case for case in cases if case.case_file.file == file), None)
        return earlier_like(self.base, self.judge.rules.similar, case, cases) if case else []

    def report(self, cases: list[DeskCase]) -> Report:
        """How right we were, and the club's own frequencies beside the book's."""
        return report(cases, self.judge.book, self.judge.rules.club.book_cases)

    def use_club(self, cases: list[DeskCase]) -> tuple[Club, str]:
        """Let the club's own outcomes so far move the priors; gives the settings and a warning of the lock, if any.

        Raises InputError where there are too few outcomes for that.
        """
        rules = self.judge.rules.club
        counts = {cause: count for cause, count in counts_of(cases, self.today).items() if cause in self.base.causes}
        if sum(counts.values()) < rules.least_cases:
            words = f"The folder holds {sum(counts.values())} outcomes; it takes {rules.least_cases} to move a prior."
            raise InputError.one(Where(str(self.folder)), "too-few-outcomes", words, "Record more outcomes first.")
        club = Club(True, counts, self.today, rules.book_cases)
        return club, write_club(self.folder, club)

    def use_book(self) -> tuple[Club, str]:
        """Go back to the book's frequencies; the counts stay written down."""
        club = replace(self.club, use=False)
        return club, write_club(self.folder, club)

    def priors(self) -> Mapping[str, float]:
        """The shares of the causes that judgements go by now."""
        return {cause.id: cause.prior for cause in self.base.causes.values()}
