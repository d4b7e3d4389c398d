"""Reads a page as a browser would: elements with their attributes and text, and whether every one is closed."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import dataclass, field
from html.parser import HTMLParser

__all__ = ["Element", "Page", "drawings"]

VOID = ("meta", "br", "img", "link", "input", "hr")
_DRAWING = re.compile(r"<svg\b.*?</svg>", re.DOTALL)


@dataclass
class Element:
    """An element with its attributes and all text within it."""

    name: str
    attributes: dict[str, str]
    text: str = ""


@dataclass
class Page(HTMLParser):
    """A parsed page; ``faults`` are elements that are not closed in their order."""

    source: str
    elements: list[Element] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self._open: list[Element] = []
        self.feed(self.source)
        self.close()
        self.faults += [f"{element.name} is left open" for element in self._open]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Take an element."""
        element = Element(tag, {name: value or "" for name, value in attrs})
        self.elements.append(element)
        if tag not in VOID:
            self._open.append(element)

    def handle_endtag(self, tag: str) -> None:
        """Close an element."""
        if not self._open or self._open[-1].name != tag:
            self.faults.append(f"</{tag}> closes {self._open[-1].name if self._open else 'nothing'}")
        else:
            self._open.pop()

    def handle_data(self, data: str) -> None:
        """Text belongs to every element that is open."""
        for element in self._open:
            element.text += data

    def all(self, name: str) -> list[Element]:
        """Every element of a name, in order."""
        return [element for element in self.elements if element.name == name]

    @property
    def text(self) -> str:
        """All text of the body, blanks folded."""
        return " ".join(self.all("body")[0].text.split())


def drawings(source: str) -> list[ET.Element]:
    """Every drawing of a page, read as XML. Raises ParseError."""
    return [ET.fromstring(found) for found in _DRAWING.findall(source)]
