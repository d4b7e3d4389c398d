"""A figure of the page: a picture in a wide and in a narrow layout, its heading, and what it shows in words."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from diagnose.screen.html.damage import hatching
from diagnose.screen.html.frame import NARROW, WIDE, Size
from diagnose.screen.page import Markup, joined, tag

__all__ = ["figure", "swatch"]

Draw = Callable[[Size, str], Iterable[Markup]]  # a size and the name of the hatching in, the parts of a picture out


def figure(name: str, heading: str, summary: str, draw: Draw, *, height: float | None = None) -> Markup:
    """A picture drawn for both layouts. ``name`` is part of its ids; the summary stands below and is read aloud."""
    pictures = [_picture(name, heading, summary, size.with_height(height) if height else size, draw)
                for size in (WIDE, NARROW)]
    return tag("figure", tag("h3", heading), *pictures, tag("figcaption", summary))


def _picture(name: str, heading: str, summary: str, size: Size, draw: Draw) -> Markup:
    own = f"{name}-{size.layout}"
    parts = [tag("title", heading, id=f"{own}-title"), tag("desc", summary, id=f"{own}-words"),
             hatching(f"{own}-slant"), *draw(size, f"{own}-slant")]
    return tag("svg", *parts, viewBox=f"0 0 {size.width:g} {size.height:g}", role="img", class_=size.layout,
               aria_labelledby=f"{own}-title", aria_describedby=f"{own}-words")


def swatch(name: str, words: str, *parts: Markup) -> Markup:
    """A small sample of a look with what it stands for."""
    drawing = tag("svg", hatching(f"{name}-key"), *parts, viewBox="0 0 28 14", class_="swatch", aria_hidden="true")
    return tag("li", joined([drawing, " ", words]))
