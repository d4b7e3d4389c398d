"""Same letter, other records: in how many variants does the cause that is then right come first?

Run ``python -m tests.measure.variants``; it prints the share of each batch and of all, and ``-v`` adds one line a
variant. Batches called "unseen" were answered once, and that share noted in DEVELOPERS.md, before any was worked on.
"""

from __future__ import annotations

import datetime as dt
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from diagnose.model.result import Result
from diagnose.workbench import CaseRequest, Workbench
from tests.support.record_folders import load_groups, write_records

__all__ = ["Variant", "answered_variants"]

FOLDER = Path(__file__).parent.parent / "data" / "variants"


@dataclass(frozen=True, slots=True)
class Variant:
    """One variant with the program's answer."""

    name: str
    batch: str
    expect: str
    result: Result

    @property
    def first(self) -> str:
        """The leading cause, or nothing."""
        return self.result.causes[0].cause if self.result.causes else ""


def answered_variants(bench: Workbench) -> Iterator[Variant]:
    """Every variant of every group, answered from its letter and its own records."""
    for group in load_groups(FOLDER):
        for variant in group["variants"]:
            with tempfile.TemporaryDirectory() as place:
                write_records(group, variant, Path(place))
                request = CaseRequest(date=dt.date.fromisoformat(str(group["date"])), records=Path(place),
                                      plant=group["plant"]["id"])
                result = bench.answer(bench.case(group["letter"], request))
            yield Variant(f"{group['name']}/{variant['name']}", group["batch"], variant["expect"], result)


def main(arguments: list[str]) -> None:
    """Print the share of variants whose cause comes first."""
    answered = list(answered_variants(Workbench.open()))
    for batch in dict.fromkeys(variant.batch for variant in answered):
        _print_share(f"batch {batch}: ", [variant for variant in answered if variant.batch == batch])
    _print_share("", answered)
    if "-v" in arguments:
        for variant in answered:
            mark = "1" if variant.first == variant.expect else "-"
            ranked = ", ".join(f"{c.cause} {c.probability:.2f}" for c in variant.result.causes[:4])
            seen = ", ".join(s.sign for s in variant.result.understood.signs if s.state == "present")
            print(f"{mark} {variant.name}: {variant.expect} <- {ranked} | {seen}")


def _print_share(of: str, answered: list[Variant]) -> None:
    right = sum(variant.first == variant.expect for variant in answered)
    print(f"{of}variants {len(answered)}  expected cause first {right / len(answered):.3f}")


if __name__ == "__main__":
    main(sys.argv[1:])
