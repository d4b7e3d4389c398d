"""How good the question sequence is, on invented plants sampled from the rule base itself.

Run ``python -m tests.measure.interview`` (``--each 20 --seed 1 --processes 1``). Same seed, same figures. The rule
base is taken as true here, so the figures measure the order of questions and the rules for stopping, not the knowledge.
"""

from __future__ import annotations

import argparse
import multiprocessing
import random
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TypeVar

import numpy as np

from diagnose.knowledge.asking import read_asking
from diagnose.knowledge.store import default_folder
from diagnose.reason.circumstances import Circumstances
from diagnose.reason.consult import verdict_of
from diagnose.reason.interview import Interview, Interviewer, Step, Stop
from diagnose.workbench import Workbench
from tests.measure.plants import Grower, Plant, open_questions, sample_plants

T = TypeVar("T")
FEW = 4  # questions after which orders are compared
SLIPS = 0.05


@dataclass(frozen=True, slots=True)
class Outcome:
    """How the interview of one plant went."""

    cause: str
    records: bool
    prior: float
    questions: int
    stop: Stop
    decided: bool
    leader: str
    right: bool
    right_at_few: bool
    right_at_few_random: bool
    slips_decided: bool
    slips_right: bool


def opened() -> Interviewer:
    """The interviewer of the project's rule base."""
    bench = Workbench.open()
    return Interviewer(bench.rulebook, read_asking(bench.base, default_folder()))


def leader(interviewer: Interviewer, step: Step) -> str:
    """The likeliest cause."""
    return interviewer.rulebook.causes[int(np.argmax(step.standing.probability))]


def run(interviewer: Interviewer, interview: Interview, grower: Grower) -> tuple[Interview, Step]:
    """An interview until it stops by itself."""
    while True:
        step = interviewer.step(interview)
        if step.ask is None:
            return interview, step
        interview = interview.answer(grower.reply(step.ask.question, step.standing.case))


def few(interviewer: Interviewer, interview: Interview, grower: Grower, order: random.Random | None) -> str:
    """The likeliest cause after a few questions, in the order of their worth or at random, without stopping."""
    for _ in range(FEW):
        if order:
            found = open_questions(interviewer, interview, interviewer.case(interview))
            question = order.choice(found)
        else:
            ranked = interviewer.ranked(interview, interviewer.stand(interview))
            if not ranked:
                break
            question = ranked[0].question
        interview = interview.answer(grower.reply(question, interviewer.case(interview)))
    return interviewer.rulebook.causes[int(np.argmax(interviewer.stand(interview).probability))]


def outcome(interviewer: Interviewer, plant: Plant) -> Outcome:
    """All that is measured on one plant."""
    circumstances = Circumstances(interviewer.rulebook, interviewer.asking)

    def grower(slips: float = 0.0) -> Grower:
        return Grower(interviewer, circumstances, plant, slips)

    interview, step = run(interviewer, plant.interview, grower())
    _, slipped = run(interviewer, plant.interview, grower(SLIPS))
    name = leader(interviewer, step)
    at_random = few(interviewer, plant.interview, grower(), random.Random(f"{plant.seed}/order"))
    return Outcome(
        plant.cause, plant.records, interviewer.rulebook.base.causes[plant.cause].prior, interview.answered_count,
        step.stop or Stop.ENOUGH, decided(interviewer, step), name, name == plant.cause,
        few(interviewer, plant.interview, grower(), None) == plant.cause, at_random == plant.cause,
        decided(interviewer, slipped), leader(interviewer, slipped) == plant.cause)


def decided(interviewer: Interviewer, step: Step) -> bool:
    """Whether the answer given in the end is a decision."""
    return verdict_of(interviewer.rulebook, step.standing) == "decided"


def measure(causes: Sequence[str], each: int, seed: int) -> list[Outcome]:
    """The outcomes for some causes."""
    interviewer = opened()
    return [outcome(interviewer, plant) for plant in sample_plants(interviewer, causes, each, seed)]


def share(found: Iterable[bool]) -> float:
    """Share of True; 0 of nothing."""
    values = list(found)
    return sum(values) / len(values) if values else 0.0


def report(found: Sequence[Outcome]) -> str:
    """The figures beside their targets."""
    ends = [o for o in found if o.decided]
    slipped = [o for o in found if o.slips_decided]
    right, at_random = share(o.right_at_few for o in found), share(o.right_at_few_random for o in found)
    mean = sum(o.questions for o in found) / len(found)
    weighed = sum(o.prior * o.right for o in ends) / sum(o.prior for o in ends)
    lines = [
        f"{len(found)} invented plants, {len({o.cause for o in found})} causes, seed fixed",
        f"mean questions                           {mean:6.2f}    target <= 5.5",
        f"decided                                  {share(o.decided for o in found):6.1%}    target >= 70 %",
        f"right when decided                       {share(o.right for o in ends):6.1%}    target >= 90 %",
        f"  the same, causes as common as they are {weighed:6.1%}",
        f"  with records / without                 {share(o.right for o in ends if o.records):6.1%} / "
        f"{share(o.right for o in ends if not o.records):.1%}",
        f"right in all, decided or not             {share(o.right for o in found):6.1%}",
        f"right after {FEW} questions                  {right:6.1%}",
        f"  in random order                        {at_random:6.1%}    target: {right - at_random:+.1%} >= +15 %",
        f"with {SLIPS:.0%} of answers wrong: right        {share(o.slips_right for o in slipped):6.1%}"
        f"    target >= 85 %, of {share(o.slips_decided for o in found):.1%} decided",
        "stopped because: " + ", ".join(f"{stop} {n}" for stop, n in Counter(o.stop for o in found).most_common()),
    ]
    named = Counter(o.cause for o in ends if o.right)
    weakest = sorted({o.cause for o in found}, key=lambda cause: (named[cause], cause))[:12]
    each = Counter(o.cause for o in found)
    lines += ["least often decided and right: " + ", ".join(f"{c} {named[c]} of {each[c]}" for c in weakest)]
    wrong = Counter((o.cause, o.leader) for o in ends if not o.right)
    lines += ["most often taken for another:"]
    lines += [f"  {cause} for {other}: {count}" for (cause, other), count in wrong.most_common(12)]
    return "\n".join(lines)


def spread(work: Callable[[Sequence[str]], list[T]], parts: Sequence[Sequence[str]], processes: int) -> list[T]:
    """What the work finds in all the parts, in their order, done by so many processes."""
    if processes <= 1:
        return [found for part in parts for found in work(part)]
    with multiprocessing.get_context("spawn").Pool(processes) as pool:
        return [found for done in pool.map(work, parts, chunksize=1) for found in done]


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--each", type=int, default=20, help="plants of each cause")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--processes", type=int, default=1)
    options = parser.parse_args()
    causes = list(opened().rulebook.causes)
    parts = [causes[number::16] for number in range(16)]
    work = partial(measure, each=options.each, seed=options.seed)
    print(report(spread(work, parts, options.processes)))


if __name__ == "__main__":
    main()
