"""How well the signs of the development letters are read, and what that costs the answer.

Run ``python -m tests.measure.sign_reading`` for the lines of DEVELOPERS.md; ``-v`` adds a line a letter, ``--folds``
the score without the phrases that only one letter bears out (see ``tests.measure.folds``). The right signs are those
of tests/data/letters_dev_signs.yaml, which were mapped from the letters' labels without looking at what is read.
"""

from __future__ import annotations

import statistics
import sys
from collections.abc import Iterable
from dataclasses import dataclass, replace
from pathlib import Path

import yaml

from diagnose.model.facts import Case, Origin, SeenSign, State
from diagnose.model.knowledge import KnowledgeBase
from diagnose.workbench import CaseRequest, Workbench
from tests.measure.folds import WAYS, score_without
from tests.measure.scores import DAY, Labelled, Scored, development_letters, line, summary

__all__ = ["Reading", "RightSigns", "answers", "oracle", "read_all", "right_signs", "sign_scores",
           "with_implied"]

FILE = Path(__file__).parent.parent / "data" / "letters_dev_signs.yaml"


@dataclass(frozen=True, slots=True)
class RightSigns:
    """The signs that the labels of a letter state as present or as absent, and those that it tells beyond them.

    One told beyond the labels is right when read and not missed when not.
    """

    present: frozenset[str] = frozenset()
    absent: frozenset[str] = frozenset()
    also: frozenset[str] = frozenset()

    @property
    def told(self) -> frozenset[str]:
        """All that are present."""
        return self.present | self.also


@dataclass(frozen=True, slots=True)
class Reading:
    """A letter as it was read, beside the signs that are right for it."""

    labelled: Labelled
    case: Case
    right: RightSigns

    def read(self, state: State) -> set[str]:
        """The signs read in a state."""
        return {seen.sign for seen in self.case.signs if seen.state is state}

    def found(self, base: KnowledgeBase) -> set[str]:
        """Labelled signs that were read, also by way of a special sign that implies them."""
        return set(self.right.present & with_implied(self.read(State.PRESENT), base))

    def missed(self, base: KnowledgeBase) -> set[str]:
        """Labelled signs that were not read."""
        return set(self.right.present) - self.found(base)

    def hits(self) -> set[str]:
        """Signs read that the letter tells."""
        return self.read(State.PRESENT) & self.right.told

    def wrong(self, base: KnowledgeBase) -> set[str]:
        """Signs read that the letter does not tell, not even by way of a special sign."""
        return self.read(State.PRESENT) - with_implied(self.right.told, base)


def with_implied(signs: Iterable[str], base: KnowledgeBase) -> set[str]:
    """Signs with the general ones that they imply, at any remove."""
    found: set[str] = set()
    left = list(signs)
    while left:
        sign = left.pop()
        if sign not in found:
            found.add(sign)
            left += base.signs[sign].implies
    return found


def right_signs() -> dict[str, RightSigns]:
    """The right signs by letter."""
    entries = yaml.safe_load(FILE.read_text(encoding="utf-8"))["letters"]
    return {entry["letter"]: RightSigns(*(frozenset(entry.get(key, {})) for key in ("present", "absent", "also")))
            for entry in entries}


def read_all(bench: Workbench, letters: Iterable[Labelled]) -> list[Reading]:
    """The letters as read on one fixed day."""
    right, request = right_signs(), CaseRequest(date=DAY)
    return [Reading(letter, bench.case(letter.text, request), right[letter.id]) for letter in letters]


def sign_scores(readings: list[Reading], base: KnowledgeBase) -> dict[str, float]:
    """Shares over all signs of all letters.

    Precision: of the signs read as present, those the letter tells; a general sign implied by a told one does not
    count. Recall: of the labelled signs, those read. Denied signs: those read as absent, and as present.
    """
    hits, wrong = (sum(map(len, found)) for found in
                   ((r.hits() for r in readings), (r.wrong(base) for r in readings)))
    labelled = sum(len(r.right.present) for r in readings)
    denied = sum(len(r.right.absent) for r in readings)
    return {
        "precision": hits / (hits + wrong),
        "recall": sum(len(r.found(base)) for r in readings) / labelled,
        "denied read as absent": sum(len(r.right.absent & r.read(State.ABSENT)) for r in readings) / denied,
        "denied read as present": sum(len(r.right.absent & r.read(State.PRESENT)) for r in readings) / denied,
        "signs labelled": labelled, "read": hits + wrong, "denied": denied,
    }


def oracle(readings: list[Reading]) -> list[tuple[Labelled, Case]]:
    """The cases with the labelled signs in place of the read ones, each as certain as the reader mostly is of its kind.

    What was read of the plant, its care and its measures stays.
    """
    usual = {state: statistics.median(seen.certainty for r in readings for seen in r.case.signs if seen.state is state)
             for state in (State.PRESENT, State.ABSENT)}
    return [(r.labelled, replace(r.case, signs=(*_seen(r.right.present, State.PRESENT, usual),
                                                *_seen(r.right.absent, State.ABSENT, usual)))) for r in readings]


def _seen(signs: Iterable[str], state: State, usual: dict[State, float]) -> list[SeenSign]:
    return [SeenSign(sign, state, Origin.LETTER, certainty=usual[state]) for sign in sorted(signs)]


def answers(bench: Workbench, cases: Iterable[tuple[Labelled, Case]]) -> list[Scored]:
    """The program's result for each case."""
    return [Scored(labelled, bench.answer(case)) for labelled, case in cases]


def main(arguments: list[str]) -> None:
    """Print how signs are read, and the answers to what was read beside those to what is right."""
    bench = Workbench.open()
    readings = read_all(bench, development_letters())
    print(line("signs as read", sign_scores(readings, bench.base)))
    as_read = answers(bench, [(r.labelled, r.case) for r in readings])
    with_right = answers(bench, oracle(readings))
    print(line("answers to signs as read", summary(bench, as_read)))
    print(line("answers to the right signs (oracle)", summary(bench, with_right)))
    if "--folds" in arguments:
        for name, way in WAYS.items():
            without = score_without(bench, way)
            print(line(f"five folds, {without.phrases} phrases met {name} withheld", summary(bench, without.scored)))
    if "-v" in arguments:
        for reading, read, right in zip(readings, as_read, with_right, strict=True):
            _print_letter(reading, read, right, bench.base)


def _print_letter(reading: Reading, read: Scored, right: Scored, base: KnowledgeBase) -> None:
    denied = reading.right.absent
    lists = {"missed": reading.missed(base), "wrong": reading.wrong(base),
             "denial missed": denied - reading.read(State.ABSENT),
             "denied but read": denied & reading.read(State.PRESENT)}
    told = "; ".join(f"{name} {', '.join(sorted(signs))}" for name, signs in lists.items() if signs)
    print(f"{_mark(read)}{_mark(right)} {reading.labelled.id} {'/'.join(reading.labelled.causes)} | "
          f"{told or 'as told'} | right signs: {_leaders(right)}")


def _mark(scored: Scored) -> str:
    return "1" if scored.among(1) else "3" if scored.among(3) else "-"


def _leaders(scored: Scored) -> str:
    return ", ".join(f"{cause.cause} {cause.probability:.2f}" for cause in scored.result.causes[:4])


if __name__ == "__main__":
    main(sys.argv[1:])
