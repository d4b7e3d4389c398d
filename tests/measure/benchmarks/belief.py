"""Belief alone: the project's recursion beside pyAgrum's exact inference on the same networks."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from importlib import import_module
from pathlib import Path
from typing import Any

import numpy as np

from diagnose.reason.belief import believe
from diagnose.reason.network import Floats, Network, Observed
from diagnose.reason.standing import stand
from tests.measure.benchmarks.material import bench, cases
from tests.measure.benchmarks.table import Row
from tests.measure.benchmarks.timing import Cost, by_turns, here

__all__ = ["Posed", "check", "drawn", "from_letters", "peer", "rows"]

TOLERANCE = 1e-9
Marginals = Callable[[], list[float]]


@dataclass(frozen=True)
class Posed:
    """What is to be believed: a network and the signs seen to be there and not there."""

    network: Network
    observed: Observed

    def relevant(self) -> Floats:
        """The chances that the causes hold which show a present sign."""
        return believe(self.network, self.observed).holds[list(self.network.subset(self.observed.present))]


def from_letters() -> list[Posed]:
    """The networks of the letters in which a sign is there."""
    standings = [stand(bench().rulebook, case) for case in cases()]
    return [Posed(s.network, s.observed) for s in standings if s.observed.present and not s.approximate]


def drawn(of: Sequence[Posed], present: int, count: int, seed: int = 1) -> list[Posed]:
    """Networks of letters with so many present signs, drawn from those that two causes together show."""
    rng = np.random.default_rng(seed)
    found: list[Posed] = []
    while len(found) < count:
        network = of[int(rng.integers(len(of)))].network
        pair = rng.choice(len(network.prior), 2, replace=False)
        shown = np.flatnonzero(network.frequency[pair].any(axis=0))
        if len(shown) >= present:
            signs = sorted(int(sign) for sign in rng.choice(shown, present, replace=False))
            found.append(Posed(network, Observed(tuple(signs), ())))
    return found


def peer(posed: Posed) -> Marginals:
    """pyAgrum with the network of the causes that matter built; the call infers. Raises ImportError without it.

    A sign with thirty causes would need a table of 2^31 cells, so each noisy-OR is written as a chain that goes from
    cause to cause, on once one of them has switched it on: the same distribution in tables of eight cells.
    """
    gum = import_module("pyagrum")
    network, observed = posed.network, posed.observed
    causes, net = network.subset(observed.present), gum.BayesNet()
    for cause in causes:
        _add(net, f"c{cause}", [], [1.0 - network.prior[cause], network.prior[cause]])
    seen: dict[str, int] = {}
    for sign in (*observed.present, *observed.absent):
        last = f"s{sign}"
        _add(net, last, [], [1.0 - network.background[sign], network.background[sign]])
        for cause in causes:
            chance = float(network.frequency[cause, sign])
            if chance:
                before, last = last, f"s{sign} after {cause}"
                _add(net, last, [f"c{cause}", before], [1.0, 0.0, 1.0 - chance, chance, 0.0, 1.0, 0.0, 1.0])
        seen[last] = int(sign in observed.present)

    def marginals() -> list[float]:
        inference = gum.LazyPropagation(net)
        inference.setEvidence(seen)
        inference.setTargets({f"c{cause}" for cause in causes})
        inference.makeInference()
        return [float(inference.posterior(f"c{cause}")[1]) for cause in causes]

    return marginals


def _add(net: Any, name: str, parents: Sequence[str], table: Sequence[float]) -> None:
    """A variable that is off or on, with its table; the parent named first changes fastest after the variable."""
    net.add(import_module("pyagrum").LabelizedVariable(name, "", 2))
    for parent in parents:
        net.addArc(parent, name)
    net.cpt(name).fillWith([float(value) for value in table])


def check(posed: Sequence[Posed], others: Sequence[Marginals]) -> float:
    """The greatest difference between the two. Raises AssertionError where it is over 1e-9."""
    worst = max((float(np.abs(one.relevant() - np.array(other())).max(initial=0.0))
                 for one, other in zip(posed, others, strict=True)), default=0.0)
    assert worst <= TOLERANCE, f"chances differ by {worst:.1e}"
    return worst


def rows(quick: bool, place: Path) -> Iterator[Row]:
    """On the letters' own networks, then on more present signs than letters tell."""
    told = from_letters()
    sets = {"a letter's network": told, "a network, 6 present signs": drawn(told, 6, 20)}
    if not quick:
        sets["a network, 9 present signs"] = drawn(told, 9, 5)
    for what, posed in sets.items():
        yield _row(what, posed, 3 if quick else 7)


def _row(what: str, posed: Sequence[Posed], rounds: int) -> Row:
    works: dict[str, Callable[[], Cost]] = {"own": partial(here, lambda: [one.relevant() for one in posed])}
    remark, beside = "", "pyAgrum, exact, its network already built"
    try:
        others = [peer(one) for one in posed]
        remark = f"differ by {check(posed, others):.0e} at most"
        works["other"] = partial(here, lambda: [other() for other in others])
    except ImportError as error:
        remark = f"left out: {error}"
    costs = {name: cost.each(len(posed)) for name, cost in by_turns(works, rounds).items()}
    return Row("belief", what, costs["own"], beside, costs.get("other"), remark)
