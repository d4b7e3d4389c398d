"""Judges one case file: its letter, form, records and answers as of the day it was received."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import field, replace
from pathlib import Path

from diagnose.frozen import frozen
from diagnose.intake.case_files import inside, parse_case, records_files
from diagnose.knowledge.desk import read_desk_rules
from diagnose.model.cases import CaseFile, CaseState, DeskCase, Glance
from diagnose.model.desk import DeskRules
from diagnose.model.facts import Case, Origin, SeenSign
from diagnose.model.result import Result
from diagnose.problems import InputError, Problem, Where, nearest
from diagnose.reason.glance import essence, glance_at
from diagnose.workbench import CaseRequest, Workbench

__all__ = ["Judge", "Judged", "Opener", "told"]

MOST_SEEN = 5000
MOST_TOLD = 20


@frozen
class Judged:
    """A case file in full, reasoned through."""

    case_file: CaseFile
    case: Case
    result: Result


@frozen
class Opener:
    """From what a judge is made: a rule base, and the club's shares of causes where they stand in for the book's."""

    knowledge: Path
    priors: tuple[tuple[str, float], ...] = ()


@frozen
class Judge:
    """Turns case files into what the desk shows. ``book`` holds the rule base's own shares of the causes.

    ``seen`` holds what was found for facts met before: many short letters tell the same.
    """

    opener: Opener
    bench: Workbench
    rules: DeskRules
    book: Mapping[str, float]
    seen: dict[tuple[Case, bool], Glance] = field(default_factory=dict)

    @classmethod
    def open(cls, opener: Opener) -> Judge:
        """Open a rule base to judge with. Raises InputError."""
        bench = Workbench.open(opener.knowledge)
        book, club = {cause.id: cause.prior for cause in bench.base.causes.values()}, dict(opener.priors)
        if club:
            causes = {name: replace(cause, prior=club.get(name, cause.prior))
                      for name, cause in bench.base.causes.items()}
            bench = Workbench(replace(bench.base, causes=causes), bench.reader, bench.folder)
        return cls(opener, bench, read_desk_rules(bench.base, opener.knowledge), book)

    def glance(self, raw: bytes, path: Path, shown: str, today: dt.date) -> DeskCase:
        """The case of a file's bytes with the glance at it; whatever is wrong with the file comes as a problem."""
        try:
            file = parse_case(raw, shown)
        except InputError as error:
            return DeskCase(CaseFile(shown, Path(shown).stem), None, told(error.problems))
        file, case = self._read(file, path, today)
        glance = self._glance(essence(case), asks=file.state in (CaseState.NEW, CaseState.ASKED))
        return DeskCase(replace(file, letter=""), glance, told(file.problems))

    def _glance(self, case: Case, *, asks: bool) -> Glance:
        """The glance at a case; what is missing is only looked for where there is still something to ask."""
        known = self.seen.get((case, asks))
        if known is None:
            known = glance_at(self.bench.rulebook, self.rules.order, self.bench.stand(case), asks=asks)
            if len(self.seen) < MOST_SEEN:
                self.seen[case, asks] = known
        return known

    def full(self, raw: bytes, path: Path, shown: str, today: dt.date) -> Judged:
        """The case of a file's bytes with its full result. Raises InputError where it is no case file."""
        file, case = self._read(parse_case(raw, shown), path, today)
        return Judged(file, case, self.bench.answer(case))

    def _read(self, file: CaseFile, path: Path, today: dt.date) -> tuple[CaseFile, Case]:
        file, request = self._request(file, path, today)
        try:
            case = self.bench.case(file.letter, request)
        except InputError as error:
            if request.records is None:
                raise
            file = replace(file, problems=(*file.problems, *error.problems))
            case = self.bench.case(file.letter, replace(request, records=None, plant=""))
        return file, _with_answers(case, file)

    def _request(self, file: CaseFile, path: Path, today: dt.date) -> tuple[CaseFile, CaseRequest]:
        """What the form says, as far as the rule base knows its words; the rest comes as problems."""
        base, where, problems = self.bench.base, Where(file.file), list(file.problems)
        answers = tuple(pair for pair in file.answers if pair[0] in base.signs)
        for sign, _ in file.answers:
            if sign not in base.signs:
                problems.append(_unknown(where, "sign", sign, base.signs))
        if file.outcome and file.outcome.cause not in base.causes:
            problems.append(_unknown(where, "cause", file.outcome.cause, base.causes))
        told = {"group": (file.group, tuple(base.groups)), "stage": (file.stage, base.terms.stages),
                "medium": (file.medium, base.terms.media)}
        problems += [_unknown(where, kind, word, known) for kind, (word, known) in told.items()
                     if word and word not in known]
        group, stage, medium = (word if word in known else "" for word, known in told.values())
        records = inside(path.parent, file.records_folder) if file.records_folder else None
        if file.records_folder and (records is None or not records.is_dir()):
            words = f'There is no folder "{file.records_folder}" inside the folder of this case.'
            problems.append(Problem(where, "no-records", words, "The letter was judged without records."))
            records = None
        elif records is not None and not all(_plain_inside(path.parent, found) for found in records_files(records)):
            words = f'The folder "{file.records_folder}" holds a link that leads out, or what is no ordinary file.'
            problems.append(Problem(where, "leads-out", words, "The letter was judged without records."))
            records = None
        request = CaseRequest(file.received or today, group, stage, medium, records,
                              file.records_plant if records else "")
        return replace(file, answers=answers, problems=tuple(problems)), request


def _plain_inside(folder: Path, path: Path) -> bool:
    """Whether a path of a records folder is a file or folder that lies inside ``folder``, with all links followed."""
    name = path.relative_to(folder.resolve()).as_posix()
    return (path.is_file() or path.is_dir()) and inside(folder, name) is not None


def _unknown(where: Where, kind: str, word: str, known: Iterable[str]) -> Problem:
    return Problem(where, f"unknown-{kind}", f'There is no {kind} "{word}".', nearest(word, known))


def _with_answers(case: Case, file: CaseFile) -> Case:
    """The case with the answers of the form in place of what the letter says of the same signs."""
    asked = {sign for sign, _ in file.answers}
    kept = tuple(sign for sign in case.signs if sign.sign not in asked)
    return replace(case, signs=kept + tuple(SeenSign(sign, state, Origin.ANSWER) for sign, state in file.answers))


def told(problems: Iterable[Problem]) -> str:
    """Problems in one line of words, each with the line of the file it stands on; of very many the first."""
    return " ".join(f"{f'line {p.where.line}: ' if p.where.line else ''}{p.words}{f' {p.hint}' if p.hint else ''}"
                     for p in list(problems)[:MOST_TOLD])
