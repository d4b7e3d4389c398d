"""The pathfinder network: 63 causes, 108 findings, probabilities given by experts; cases are drawn from it.

D. Heckerman, E. Horvitz, B. Nathwani, "Toward normative expert systems: part I, the Pathfinder project", Methods of
Information in Medicine 31 (1992). Read from the file in the pgmpy wheel (MIT), without importing that package.
"""

from __future__ import annotations

import gzip
import hashlib
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path

import numpy as np

from diagnose.reason.network import Floats
from tests.measure.outside_cases import Ints, LabelledCases, Unavailable
from tests.measure.outside_words import Shares

__all__ = ["ExpertNetwork", "pathfinder"]

CAUSE = "Fault"
CHECKSUM = "1b23ccf9d398471c1c8e6353e8d11d8e3579537adc6bbbf535806d781f6e8e7f"  # of the file in pgmpy 1.1.2
_VARIABLE = re.compile(r"variable (\S+) \{\s*type discrete \[ \d+ \] \{([^}]*)\}")
_PROBABILITY = re.compile(r"probability \( ([^)]*) \) \{\n(.*?)\n\}", re.DOTALL)
_ROW = re.compile(r"(?:table|\(([^)]*)\)) ([^;]*);")


@dataclass(frozen=True, slots=True)
class ExpertNetwork:
    """States, parents and conditional tables [parents..., states] by variable; parents come before children."""

    states: Mapping[str, tuple[str, ...]]
    parents: Mapping[str, tuple[str, ...]]
    tables: Mapping[str, Floats]

    @property
    def findings(self) -> tuple[str, ...]:
        """Every variable but the cause."""
        return tuple(name for name in self.tables if name != CAUSE)

    def shares(self) -> Shares:
        """The exact share of each answer under each cause."""
        prior = self.tables[CAUSE]
        tables = tuple(self._share(finding) for finding in self.findings)
        return Shares(prior, tables, tuple(prior @ table for table in tables))

    def _share(self, finding: str) -> Floats:
        """P(finding | cause) [causes, answers], summed over all that the finding depends on besides."""
        names = [CAUSE, finding, *sorted(self._above(finding) - {CAUSE})]
        terms: list[object] = [np.ones(len(self.states[CAUSE])), [0]]
        for name in names[1:]:
            terms += [self.tables[name], [names.index(parent) for parent in (*self.parents[name], name)]]
        return np.asarray(np.einsum(*terms, [0, 1], optimize="greedy"), dtype=np.float64)

    def _above(self, finding: str) -> set[str]:
        return {name for parent in self.parents[finding] for name in {parent, *self._above(parent)}}

    def drawn(self, count: int, seed: int) -> LabelledCases:
        """Cases drawn from the network, every finding answered."""
        draw = np.random.default_rng(seed)
        found: dict[str, Ints] = {}
        for name, table in self.tables.items():
            rows = np.broadcast_to(table[tuple(found[parent] for parent in self.parents[name])],
                                   (count, table.shape[-1]))
            passed = draw.random(count)[:, None] > rows.cumsum(axis=1)[:, :-1]
            found[name] = passed.sum(axis=1)
        return LabelledCases(
            causes=self.states[CAUSE],
            sizes=tuple(len(self.states[finding]) for finding in self.findings),
            answers=np.array([found[finding] for finding in self.findings]).T,
            cause=found[CAUSE],
        )


def pathfinder() -> ExpertNetwork:
    """The network as read from the wheel. Raises Unavailable where it is not installed or another one."""
    package = find_spec("pgmpy")
    if package is None or not package.submodule_search_locations:
        raise Unavailable("the pathfinder network comes in the package pgmpy, which is not installed")
    file = Path(package.submodule_search_locations[0]) / "utils" / "example_models" / "pathfinder.bif.gz"
    if not file.is_file() or hashlib.sha256(file.read_bytes()).hexdigest() != CHECKSUM:
        raise Unavailable("this pgmpy does not hold the pathfinder network of pgmpy 1.1.2")
    text = gzip.decompress(file.read_bytes()).decode()
    states = {name: tuple(_names(listed)) for name, listed in _VARIABLE.findall(text)}
    parents, tables = {}, {}
    for head, body in _PROBABILITY.findall(text):
        name, *given = _names(head.replace("|", ","))
        parents[name] = tuple(given)
        tables[name] = _table(states, name, given, body)
    return ExpertNetwork(states, parents, tables)


def _names(listed: str) -> Iterator[str]:
    return (name.strip() for name in listed.split(",") if name.strip())


def _table(states: Mapping[str, tuple[str, ...]], name: str, given: list[str], body: str) -> Floats:
    """One conditional table; every row sums to 1 (the file rounds)."""
    table = np.zeros([len(states[variable]) for variable in (*given, name)])
    for held, values in _ROW.findall(body):
        cell = tuple(states[variable].index(state) for variable, state in zip(given, _names(held), strict=True))
        table[cell] = [float(value) for value in values.split(",")]
    return np.asarray(table / table.sum(axis=-1, keepdims=True), dtype=np.float64)
