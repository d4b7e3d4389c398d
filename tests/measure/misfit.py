"""Does the program notice a cause that is not on its list? Each cause is taken out of the rule base in turn.

Run ``python -m tests.measure.misfit`` (``--each 4 --seed 2 --causes a,b --ways whole,found,asked --processes 1``).
Plants are sampled from the whole rule base (tests/measure/plants.py) and judged with their cause listed and without it.
Three ways to look at a plant: ``whole``, every question about signs answered; ``found``, only the questions that touch
a sign that is there, as somebody tells it who came with what was found; ``asked``, the program's own sequence.
The numbers of the check in knowledge/scales.yaml were fitted on seed 1.
"""

from __future__ import annotations

import argparse
import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from statistics import median

import numpy as np

from diagnose.model.knowledge import KnowledgeBase
from diagnose.reason.circumstances import Circumstances
from diagnose.reason.consult import verdict_of
from diagnose.reason.interview import Interview, Interviewer
from diagnose.reason.rulebook import Rulebook
from diagnose.reason.standing import Standing
from tests.measure.interview import opened, run, share, spread
from tests.measure.plants import Grower, Plant, sample_plants

__all__ = ["WAYS", "Judged", "measure", "summary", "without"]

TARGETS = {"unlisted: nothing fits": ">= 50 %", "unlisted: another decided": "<= 15 %",
           "listed: nothing fits": "< 5 %"}
TOLD_APART_BITS = 3.0  # with less, the other causes explain a plant nearly as well as its own: eight times as likely


@dataclass(frozen=True, slots=True)
class Judged:
    """One plant looked at in one way: the verdicts with its cause listed and without it.

    ``lost_bits`` is by how much less likely all that was seen becomes without the cause.
    """

    way: str
    cause: str
    listed: str
    listed_right: bool
    unlisted: str
    leader: str
    leader_is_look_alike: bool
    lost_bits: float


def without(base: KnowledgeBase, cause: str) -> KnowledgeBase:
    """The rule base without one of its causes; its signs stay."""
    return replace(base, causes={name: entry for name, entry in base.causes.items() if name != cause})


def _whole(interviewer: Interviewer, plant: Plant, grower: Grower) -> Standing:
    """With every question about signs answered, and the kind of plant known."""
    return interviewer.stand(_answered(interviewer, plant, grower, lambda question, say: True))


def _found(interviewer: Interviewer, plant: Plant, grower: Grower) -> Standing:
    """With those questions answered that touch a sign which is there."""
    healthy = {(question.id, answer.say) for question in interviewer.rulebook.base.questions.values()
               for answer in question.answers if answer.healthy}
    return interviewer.stand(_answered(interviewer, plant, grower, lambda *reply: reply not in healthy))


def _asked(interviewer: Interviewer, plant: Plant, grower: Grower) -> Standing:
    """As the program itself asks."""
    return run(interviewer, plant.interview, grower)[1].standing


def _answered(interviewer: Interviewer, plant: Plant, grower: Grower, kept: Callable[[str, str], bool]) -> Interview:
    replies = [grower.reply(question, plant.kept) for question in interviewer.rulebook.base.questions.values()]
    told = [reply for reply in replies if any(kept(reply.question, say) for say in reply.chosen)]
    start = replace(plant.kept, has_records=plant.records)
    return Interview(start, (*plant.interview.replies, *told), plant.interview.given)


WAYS: Mapping[str, Callable[[Interviewer, Plant, Grower], Standing]] = {
    "whole": _whole, "found": _found, "asked": _asked}


def measure(causes: Sequence[str], each: int, seed: int, ways: Sequence[str]) -> list[Judged]:
    """So many plants of each of some causes, judged in some of the ways."""
    listed = opened()
    return [judged for cause in causes for judged in _of_cause(listed, cause, each, seed, ways)]


def _of_cause(listed: Interviewer, cause: str, each: int, seed: int, ways: Sequence[str]) -> Iterator[Judged]:
    base = listed.rulebook.base
    unlisted = Interviewer(Rulebook(without(base, cause)), listed.asking)
    circumstances = Circumstances(listed.rulebook, listed.asking)
    alike = {other.cause for other in base.causes[cause].look_alikes}
    for plant in sample_plants(listed, [cause], each, seed):
        for way in ways:
            known, other = (WAYS[way](interviewer, plant, Grower(listed, circumstances, plant))
                            for interviewer in (listed, unlisted))
            leader = _leader(unlisted, other)
            yield Judged(way, cause, verdict_of(listed.rulebook, known), _leader(listed, known) == cause,
                         verdict_of(unlisted.rulebook, other), leader, leader in alike, _lost_bits(known, other))


def _leader(interviewer: Interviewer, standing: Standing) -> str:
    return interviewer.rulebook.causes[int(np.argmax(standing.probability))]


def _lost_bits(known: Standing, other: Standing) -> float:
    """Only where both saw the same; the question sequence may ask other things once the cause is gone."""
    if known.observed != other.observed:
        return math.nan
    return (known.belief.log_evidence - other.belief.log_evidence) / math.log(2.0)


def summary(found: Sequence[Judged]) -> dict[str, float]:
    """Shares over plants looked at in one way; "told apart" are those that the other causes explain clearly worse."""
    apart = [one for one in found if one.lost_bits >= TOLD_APART_BITS]
    return {
        "unlisted: nothing fits": share(one.unlisted == "nothing_fits" for one in found),
        "unlisted: another decided": share(one.unlisted == "decided" for one in found),
        "of that, no named look-alike": share(one.unlisted == "decided" and not one.leader_is_look_alike
                                              for one in found),
        "told apart": share(one.lost_bits >= TOLD_APART_BITS for one in found) if apart else math.nan,
        "told apart: nothing fits": share(one.unlisted == "nothing_fits" for one in apart) if apart else math.nan,
        "listed: nothing fits": share(one.listed == "nothing_fits" for one in found),
        "listed: decided": share(one.listed == "decided" for one in found),
        "listed: right when decided": share(one.listed_right for one in found if one.listed == "decided"),
    }


def report(found: Sequence[Judged]) -> str:
    """The figures of each way beside their targets, then one line a cause."""
    ways = list(dict.fromkeys(one.way for one in found))
    figures = {way: summary([one for one in found if one.way == way]) for way in ways}
    lines = [f"{'':30}" + "".join(f"{way:>8}" for way in ways) + "   target"]
    for name in figures[ways[0]]:
        lines.append(f"{name:30}" + "".join(f"{_percent(figures[way][name], 1):>8}" for way in ways)
                     + f"   {TARGETS.get(name, '')}".rstrip())
    lines.append("")
    lines.append(f"{'cause taken out':44}{'nothing fits / another decided':>34}  {'bits lost':>9}  decided for")
    return "\n".join([*lines, *_by_cause(found, ways)])


def _by_cause(found: Sequence[Judged], ways: Sequence[str]) -> Iterable[str]:
    """Least often noticed first: those at the top are true look-alikes of another cause."""
    causes = sorted({one.cause for one in found}, key=lambda cause: (
        share(one.unlisted == "nothing_fits" for one in found if one.cause == cause), cause))
    for cause in causes:
        own = [one for one in found if one.cause == cause]
        pairs = "  ".join(f"{_percent(share(one.unlisted == 'nothing_fits' for one in own if one.way == way))}"
                          f" /{_percent(share(one.unlisted == 'decided' for one in own if one.way == way))}"
                          for way in ways)
        lost = [one.lost_bits for one in own if not math.isnan(one.lost_bits)]
        others = sorted({one.leader for one in own if one.unlisted == "decided"})
        yield f"{cause:44}{pairs:>34}  {median(lost) if lost else math.nan:9.1f}  {', '.join(others)}"


def _percent(value: float, digits: int = 0) -> str:
    return "-" if math.isnan(value) else f"{100 * value:4.{digits}f} %"


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--each", type=int, default=4, help="plants of each cause")
    parser.add_argument("--seed", type=int, default=2)
    parser.add_argument("--causes", default="", help="ids with commas between; all by default")
    parser.add_argument("--ways", default="whole,found", help="of whole, found, asked (slow)")
    parser.add_argument("--processes", type=int, default=1)
    options = parser.parse_args()
    causes = options.causes.split(",") if options.causes else list(opened().rulebook.causes)
    parts = [causes[number::8] for number in range(8)]
    work = partial(measure, each=options.each, seed=options.seed, ways=options.ways.split(","))
    print(report(spread(work, parts, options.processes)))


if __name__ == "__main__":
    main()
