"""The outcome command: what the cause proved to be, and how the plant did."""

from __future__ import annotations

import datetime as dt
import sys
from pathlib import Path

from diagnose.desk.change import set_outcome
from diagnose.model.cases import RESULTS, Deed, DeedWord, Outcome
from diagnose.problems import InputError, Where, nearest
from diagnose.screen.harmless import harmless
from diagnose.screen.options import MOST_CODE, read_date, read_words
from diagnose.workbench import Workbench

__all__ = ["record_outcome"]


def record_outcome(case_file: Path, cause: str, result: str, on: str, by: str,
                   knowledge: Path | None = None) -> None:
    """Write an outcome into a case file. Raises InputError for a word or file that does not do."""
    causes = Workbench.open(knowledge).base.causes
    if cause not in causes:
        raise InputError.one(Where("--cause"), "unknown-cause", f'There is no cause "{cause}".', nearest(cause, causes))
    if result not in RESULTS:
        raise InputError.one(Where("--result"), "unknown-word", f'"{result}" is not known here.',
                             nearest(result, RESULTS))
    day = read_date(on, dt.date.today(), "--on")
    now = dt.datetime.now(dt.UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
    deed = Deed(str(DeedWord.OUTCOME), read_words(by, "--by", MOST_CODE), day, now)
    case, warning = set_outcome(case_file, case_file.parent, Outcome(cause, result, day), deed)
    print(f"Case {harmless(case.case)}: {causes[cause].name}; plant {result}, {day.isoformat()}.")
    if warning:
        print(warning, file=sys.stderr)
