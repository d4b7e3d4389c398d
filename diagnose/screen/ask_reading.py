"""Understands what is typed at a question: a command, numbers, or the first letters of an answer."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import field
from enum import StrEnum

from diagnose.frozen import frozen

__all__ = ["Command", "Options", "Typed", "command_of", "read_typed"]

_SEPARATORS = re.compile(r"\s*(?:,|;|\band\b)\s*|\s+(?=\d)")


class Command(StrEnum):
    """What can be typed instead of an answer."""

    HELP = "?"
    WHY = "why"
    BACK = "back"
    SKIP = "skip"
    STOP = "stop"


_COMMANDS = {"?": Command.HELP, "help": Command.HELP, "why": Command.WHY, "why?": Command.WHY, "back": Command.BACK,
             "skip": Command.SKIP, "don't know": Command.SKIP, "dont know": Command.SKIP, "don’t know": Command.SKIP,
             "unsure": Command.SKIP, "stop": Command.STOP, "quit": Command.STOP, "exit": Command.STOP}


@frozen
class Options:
    """The answers on screen. ``several`` may go together, save those ``alone``; ``names`` are other words for them."""

    says: tuple[str, ...]
    several: bool = False
    alone: frozenset[int] = frozenset()
    names: Mapping[str, int] = field(default_factory=dict)


@frozen
class Typed:
    """A command, or the places of the answers chosen, or what is wrong in words."""

    command: Command | None = None
    chosen: tuple[int, ...] = ()
    problem: str = ""


def command_of(line: str) -> Command | None:
    """The command that the whole line is, if any."""
    return _COMMANDS.get(" ".join(line.split()).casefold())


def read_typed(line: str, options: Options) -> Typed:
    """What the line means. The number after the last answer stands for "don't know"."""
    command = command_of(line)
    if command:
        return Typed(command)
    text = " ".join(line.split()).casefold()
    if not text:
        return Typed(problem='Type a number, the first letters of an answer, or "skip".')
    listed = options.several and len(_starting(text, options.says)) != 1
    parts = [part for part in _SEPARATORS.split(text) if part] if listed or text[0].isdigit() else [text]
    found: list[int] = []
    for part in parts:
        place = _place(part, options)
        if isinstance(place, str):
            return Typed(problem=place)
        if place == len(options.says):
            return Typed(Command.SKIP) if len(parts) == 1 else Typed(problem='"Don\'t know" goes alone.')
        found.append(place)
    return _checked(tuple(sorted(set(found))), options)


def _place(part: str, options: Options) -> int | str:
    count = len(options.says)
    if part.isdecimal():
        number = int(part[:6])
        return number - 1 if 1 <= number <= count + 1 else f"There are {count} answers here, {count + 1} is don't know."
    if part in options.names:
        return options.names[part]
    for hits in (_starting(part, options.says), _holding(part, options.says)):
        if len(hits) == 1:
            return hits[0]
        if hits:
            return f'"{part}" may be {_listed(hits)}. Type more letters, or the number.'
    return f'No answer begins with "{part}". Type a number, or ? for help.'


def _starting(part: str, says: Sequence[str]) -> list[int]:
    return [place for place, say in enumerate(says) if say.casefold().startswith(part)]


def _holding(part: str, says: Sequence[str]) -> list[int]:
    """Answers with a word that begins so."""
    return [place for place, say in enumerate(says)
            if any(word.startswith(part) for word in re.findall(r"[^\W_][\w'-]*", say.casefold()))]


def _listed(places: Sequence[int]) -> str:
    numbers = [str(place + 1) for place in places]
    return " or ".join([", ".join(numbers[:-1]), numbers[-1]] if len(numbers) > 1 else numbers)


def _checked(chosen: tuple[int, ...], options: Options) -> Typed:
    if len(chosen) > 1 and not options.several:
        return Typed(problem="Only one answer can be true here.")
    lonely = [place for place in chosen if place in options.alone]
    if lonely and len(chosen) > 1:
        return Typed(problem=f'"{options.says[lonely[0]]}" does not go with another answer.')
    return Typed(chosen=chosen)
