"""The rows of the table and their Markdown."""

from __future__ import annotations

from dataclasses import dataclass

from tests.measure.benchmarks.timing import Cost

__all__ = ["HEADER", "Row", "markdown"]

HEADER = ("| name | what | CPU | wall | beside | its CPU | its wall | CPU, times as much | remark |\n"
          "| --- | --- | --- | --- | --- | --- | --- | --- | --- |")


@dataclass(frozen=True, slots=True)
class Row:
    """One thing measured, and what it is held against, if anything."""

    name: str
    what: str
    cost: Cost | None = None
    beside: str = ""
    other: Cost | None = None
    remark: str = ""


def markdown(row: Row) -> str:
    """The row as a line of the table."""
    ratio = f"{row.cost.cpu_s / row.other.cpu_s:.2f}" if row.cost and row.other and row.other.cpu_s else ""
    cells = [row.name, row.what, *_shown(row.cost), row.beside, *_shown(row.other), ratio, row.remark]
    return f"| {' | '.join(cells)} |"


def _shown(cost: Cost | None) -> tuple[str, str]:
    return (_seconds(cost.cpu_s), _seconds(cost.wall_s)) if cost else ("", "")


def _seconds(seconds: float) -> str:
    """Three figures, in the unit that suits them."""
    if seconds >= 1.0:
        return f"{seconds:.3g} s" if seconds < 1000.0 else f"{seconds:.0f} s"
    return f"{seconds * 1e3:.3g} ms" if seconds >= 1e-3 else f"{seconds * 1e6:.3g} µs"
