"""Numbers as growers read them."""

from __future__ import annotations

__all__ = ["in_figures"]


def in_figures(value: float) -> str:
    """A value in three significant digits and without powers of ten: 0.814, 41.2, 12000."""
    return f"{float(f'{value:.3g}'):.12g}"
