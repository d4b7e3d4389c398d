"""The reasoning core on material from outside: labelled soybean plants, and an expert network of 63 causes.

Run ``python -m tests.measure.outside`` for the table of DEVELOPERS.md. The words for how often a cause shows a sign
and how common it is are learned (training folds) or taken from the experts' figures; belief, damping and the choice
of questions are the project's own.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict
from functools import partial

import numpy as np

from diagnose.model.knowledge import Scales
from diagnose.reason.network import Floats
from diagnose.workbench import Workbench
from tests.measure.outside_bars import BARS
from tests.measure.outside_cases import LabelledCases, Unavailable, with_slips
from tests.measure.outside_pathfinder import pathfinder
from tests.measure.outside_soybean import LEAF_SPOTS, soybean_cases
from tests.measure.outside_trial import (
    Believer,
    Decisions,
    Scores,
    cross_validated,
    decisions,
    judged,
    questioned,
    questioned_at_random,
    scores,
)
from tests.measure.outside_words import UNLISTED, Shares, in_numbers, in_words

__all__ = ["Figures", "pathfinder_answers", "pathfinder_questions", "soybean_answers", "soybean_questions", "table"]

Figures = dict[str, float]
Learn = Callable[[Shares], Believer]

WAYS = ("words", "departures", "numbers")  # how the core knows; the bars are for words
SEEDS = (1, 2, 3, 4, 5)
QUESTION_SEEDS = (1, 2)
MOST_QUESTIONS = 12
SURE = 0.9
SLIPS = 0.05
FORGIVING = "common"  # background of unlisted answers where answers may be wrong
DRAWN, DRAWN_SEED = 3000, 1
DRAWN_QUESTIONED = 1000
NOTE = f"""\
Soybean: "Soybean (Large)" of the UCI machine learning repository as packed in Debian's r-cran-mlbench; a missing answer
is no evidence; ten folds, means over {len(SEEDS)} seeds (questions: {len(QUESTION_SEEDS)} seeds, and every question
counts, answered or not; with wrong answers in the sequence, an answer that a cause does not list is "{FORGIVING}", not
"{UNLISTED}"). Pathfinder: D. Heckerman, E. Horvitz, B. Nathwani 1992, from the pgmpy wheel; {DRAWN} cases drawn
({DRAWN_QUESTIONED} for questions). "Elsewhere": Debian's Weka 3.6.14 and scikit-learn 1.9.1, ten folds, five seeds.
The bars are for the column "words". How shares become words was settled on these sets, so differences below half a
point say nothing."""


def _learners(scales: Scales, ways: Sequence[str], unlisted: str = UNLISTED) -> dict[str, Learn]:
    """Words; words with answers put as the question sequence puts them; the learned numbers themselves."""
    learners: dict[str, Learn] = {
        "words": lambda shares: Believer(in_words(shares, scales, unlisted), scales),
        "departures": lambda shares: Believer(in_words(shares, scales, unlisted), scales, departures=True),
        "numbers": lambda shares: Believer(in_numbers(shares, scales), scales),
    }
    return {way: learners[way] for way in ways}


def soybean_answers(scales: Scales, ways: Sequence[str] = WAYS) -> Figures:
    """All answers of every plant, ten folds; means over five seeds."""
    cases = soybean_cases()
    figures: Figures = {}
    for way, learn in _learners(scales, ways).items():
        figures |= _named(f"soybean/all/{way}", _all_answers(cases, learn))
        figures |= _named(f"soybean/all with slips/{way}", _all_answers(cases, learn, SLIPS))
    return figures


def _all_answers(cases: LabelledCases, learn: Learn, slips: float = 0.0) -> Scores:
    found = []
    for seed in SEEDS:
        told = with_slips(cases, slips, seed)
        found.append(scores(cross_validated(cases, seed, learn, partial(judged, cases=told)), cases, LEAF_SPOTS))
    return Scores.mean(found)


def soybean_questions(scales: Scales, ways: Sequence[str] = WAYS) -> Figures:
    """Question by question, ten folds; means over two seeds."""
    cases = soybean_cases()
    figures: Figures = {}
    for way, learn in _learners(scales, ways).items():
        runs = [_questioned(cases, learn, seed) for seed in QUESTION_SEEDS]
        figures |= _named(f"soybean/five/{way}", Scores.mean([scores(run[5], cases) for run in runs]))
        figures |= _named(f"soybean/stop/{way}", Decisions.mean([decisions(run, cases, SURE) for run in runs]))
        figures[f"soybean/five/{way}/ahead of chance"] = figures[f"soybean/five/{way}/first"] - _by_chance(cases, learn)
    for way, learn in _learners(scales, ways, FORGIVING).items():
        runs = [_questioned(cases, learn, seed, SLIPS) for seed in QUESTION_SEEDS]
        figures |= _named(f"soybean/stop with slips/{way}",
                          Decisions.mean([decisions(run, cases, SURE) for run in runs]))
    return figures


def _questioned(cases: LabelledCases, learn: Learn, seed: int, slips: float = 0.0) -> Floats:
    told = with_slips(cases, slips, seed)
    return cross_validated(cases, seed, learn, partial(questioned, cases=told, most=MOST_QUESTIONS))


def _by_chance(cases: LabelledCases, learn: Learn) -> float:
    """The share right after five questions in an order of chance."""
    found = [cross_validated(cases, seed, learn, partial(questioned_at_random, cases=cases, count=5, seed=seed))
             for seed in QUESTION_SEEDS]
    return Scores.mean([scores(each, cases) for each in found]).first


def pathfinder_answers(scales: Scales, ways: Sequence[str] = WAYS) -> Figures:
    """All findings of cases drawn from the expert network."""
    network = pathfinder()
    shares, cases = network.shares(), network.drawn(DRAWN, DRAWN_SEED)
    figures: Figures = {}
    for way, learn in _learners(scales, ways).items():
        found = judged(learn(shares), cases=cases, rows=np.arange(DRAWN))
        figures |= _named(f"pathfinder/all/{way}", scores(found, cases))
    return figures


def pathfinder_questions(scales: Scales, ways: Sequence[str] = WAYS) -> Figures:
    """Eight questions to each of a thousand drawn cases."""
    network = pathfinder()
    shares, cases = network.shares(), network.drawn(DRAWN_QUESTIONED, DRAWN_SEED)
    figures: Figures = {}
    for way, learn in _learners(scales, ways).items():
        steps = questioned(learn(shares), cases=cases, rows=np.arange(DRAWN_QUESTIONED), most=8)
        figures |= _named(f"pathfinder/eight/{way}", scores(steps[8], cases))
    return figures


def _named(prefix: str, found: Scores | Decisions) -> Figures:
    return {f"{prefix}/{name.replace('_', ' ')}": value for name, value in asdict(found).items()}


def table(figures: Mapping[str, float]) -> str:
    """The figures beside their bars and where all come from, in Markdown; what was not measured is left out."""
    rows = [(bar.what, bar.line, *(bar.shown(bar.value(figures, way)) for way in WAYS), bar.elsewhere)
            for bar in BARS if bar.value(figures) is not None]
    head = ("figure", "bar", "words", "words, answers put as in an interview", "learned numbers", "elsewhere")
    lines = ["| " + " | ".join(row) + " |" for row in (head, ("---",) * len(head), *rows)]
    return "\n".join([*lines, "", NOTE])


def main() -> int:
    """Print the table; 1 where a bar is missed, after naming it."""
    scales = Workbench.open().base.scales
    figures: Figures = {}
    for measure in (soybean_answers, soybean_questions, pathfinder_answers, pathfinder_questions):
        try:
            figures |= measure(scales)
        except Unavailable as error:
            print(f"skipped: {error}", file=sys.stderr)
    print(table(figures))
    missed = [bar for bar in BARS if bar.value(figures) is not None and not bar.met(figures)]
    for bar in missed:
        print(f"missed: {bar.figure.format('words')} {bar.line}, is {bar.shown(bar.value(figures))}", file=sys.stderr)
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
