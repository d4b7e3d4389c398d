"""A picture of how right we were, as a drawing within a page: said across, so it was upwards, with intervals."""

from __future__ import annotations

from collections.abc import Sequence

from diagnose.reason.calibration import Band
from diagnose.screen.page import Markup, tag

__all__ = ["calibration_chart"]

SIZE, LEFT, TOP, EDGE = 300.0, 56.0, 22.0, 48.0
TICKS = (0.0, 0.25, 0.5, 0.75, 1.0)
INK, SOFT = "var(--week)", "var(--line)"


def calibration_chart(bands: Sequence[Band]) -> Markup:
    """The drawing; a point on the slanting line means that we were exactly as right as we said."""
    parts = [_line(_x(0), _y(0), _x(1), _y(1), SOFT, "4 4")]
    for tick in TICKS:
        parts += [_line(_x(tick), _y(0), _x(tick), _y(1), SOFT), _line(_x(0), _y(tick), _x(1), _y(tick), SOFT),
                  _label(_x(tick), _y(0) + 16, f"{tick:.0%}", "middle"),
                  _label(_x(0) - 6, _y(tick) + 4, f"{tick:.0%}", "end")]
    for band in bands:
        low, high = band.interval
        x = _x(band.said)
        parts += [_line(x, _y(low), x, _y(high), INK), _point(band)]
    parts.append(_label(_x(0.5), _y(0) + 36, "what we said", "middle"))
    parts.append(_label(_x(0) - 40, _y(1) - 14, "how often it was so", "start"))
    width, height = LEFT + SIZE + 20, TOP + SIZE + EDGE
    return tag("svg", *parts, viewBox=f"0 0 {width:.0f} {height:.0f}", width=f"{width:.0f}", role="img",
               aria_label="For each band of what we said: how often it was so, with its 95 % interval")


def _x(share: float) -> float:
    return LEFT + share * SIZE


def _y(share: float) -> float:
    return TOP + 12 + (1 - share) * (SIZE - 12)


def _line(x1: float, y1: float, x2: float, y2: float, colour: str, dashes: str = "") -> Markup:
    return tag("line", x1=f"{x1:.1f}", y1=f"{y1:.1f}", x2=f"{x2:.1f}", y2=f"{y2:.1f}", stroke_dasharray=dashes,
               style=f"stroke:{colour};stroke-width:1.5")


def _label(x: float, y: float, text: str, anchor: str) -> Markup:
    return tag("text", text, x=f"{x:.1f}", y=f"{y:.1f}", text_anchor=anchor)


def _point(band: Band) -> Markup:
    radius = min(9.0, 3.0 + band.count ** 0.5)
    title = tag("title", f"said {band.said:.0%}, so it was {band.so} of {band.count} times")
    return tag("circle", title, cx=f"{_x(band.said):.1f}", cy=f"{_y(band.share):.1f}", r=f"{radius:.1f}",
               style=f"fill:{INK}")
