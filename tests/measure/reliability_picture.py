"""A picture of said against so: one square for each set of texts, drawn without any library."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from html import escape

from diagnose.reason.calibration import Band

__all__ = ["picture"]

SIDE, LEFT, TOP, GAP = 220, 46, 34, 52
BELOW = 62
LINE, GREY, DOT = "#333333", "#999999", "#1f5f8b"


def picture(sets: Mapping[str, Sequence[Band]]) -> str:
    """A self-contained SVG: what was said runs right, how often it was so runs up, with the interval of Wilson.

    On the dashed line both agree. The number beside a dot is how many texts it stands for.
    """
    width, height = LEFT + len(sets) * (SIDE + GAP), TOP + SIDE + BELOW
    lines = [f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" width="{width}" '
             f'height="{height}" font-family="sans-serif" font-size="12" role="img">',
             "<title>Said against so, for the cause that comes first</title>",
             f'<rect width="{width}" height="{height}" fill="white"/>']
    for number, (title, bands) in enumerate(sets.items()):
        lines += _square(title, bands, LEFT + number * (SIDE + GAP))
    return "\n".join([*lines, "</svg>", ""])


def _square(title: str, bands: Sequence[Band], left: float) -> Iterator[str]:
    bottom = TOP + SIDE
    yield f'<text x="{left}" y="{TOP - 12}" font-weight="bold">{escape(title)}</text>'
    yield f'<rect x="{left}" y="{TOP}" width="{SIDE}" height="{SIDE}" fill="none" stroke="{LINE}"/>'
    yield (f'<line x1="{left}" y1="{bottom}" x2="{left + SIDE}" y2="{TOP}" stroke="{GREY}" stroke-dasharray="4 4"/>')
    for tick in (0.0, 0.5, 1.0):
        yield f'<text x="{left + tick * SIDE:.0f}" y="{bottom + 16}" text-anchor="middle">{tick:.1f}</text>'
        yield f'<text x="{left - 6}" y="{bottom - tick * SIDE + 4:.0f}" text-anchor="end">{tick:.1f}</text>'
    yield f'<text x="{left + SIDE / 2:.0f}" y="{bottom + 34}" text-anchor="middle">stated of the first cause</text>'
    yield f'<text x="{left + 6}" y="{TOP + 16}" fill="{GREY}">how often right</text>'
    for band in bands:
        yield from _dot(band, left, bottom)


def _dot(band: Band, left: float, bottom: float) -> Iterator[str]:
    across, up = left + band.said * SIDE, bottom - band.share * SIDE
    low, high = (bottom - chance * SIDE for chance in band.interval)
    yield f'<line x1="{across:.1f}" y1="{low:.1f}" x2="{across:.1f}" y2="{high:.1f}" stroke="{DOT}"/>'
    yield f'<circle cx="{across:.1f}" cy="{up:.1f}" r="4" fill="{DOT}"/>'
    yield f'<text x="{across + 7:.1f}" y="{up + 4:.1f}" fill="{LINE}">{band.count}</text>'
