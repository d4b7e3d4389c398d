"""Line numbers in words, and notes that name a file and its lines once."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby

__all__ = ["in_lines"]


def in_lines(lines: Iterable[int], most: int = 5) -> str:
    """``line 4``, ``lines 3-5, 9`` or ``lines 3-5, 9 and 12 more``: runs are joined, at most ``most`` are named."""
    ordered = sorted(set(lines))
    runs = [[line for _, line in run] for _, run in groupby(enumerate(ordered), lambda pair: pair[1] - pair[0])]
    named = ", ".join(f"{run[0]}-{run[-1]}" if len(run) > 1 else str(run[0]) for run in runs[:most])
    left = sum(len(run) for run in runs[most:])
    return f"line{'s' if len(ordered) > 1 else ''} {named}" + (f" and {left} more" if left else "")
