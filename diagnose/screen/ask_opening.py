"""The opening of the question sequence: what the grower sees and where, in free words or picked from lists."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from diagnose.intake.letter_files import MOST_LETTER
from diagnose.model.asking import Asking
from diagnose.model.facts import Case, State
from diagnose.model.knowledge import KnowledgeBase
from diagnose.screen.ask_reading import Command, Options, command_of, read_typed
from diagnose.screen.ask_words import say_options
from diagnose.screen.harmless import shortened
from diagnose.screen.talk import Talk

__all__ = ["Opening", "open_talk", "say_understood"]

_WHERE = "Where on the plant do you see it?"
_HELP = "Say it as you would tell a neighbour: which part, what is changed, since when, how it is kept."
_WAYS = 'Press Enter to pick from lists. "skip" begins without it; "stop" leaves.'


@dataclass(frozen=True, slots=True)
class Opening:
    """What came of it: free words, or ids of signs; with neither it is a bare start. ``stopped``: the grower left."""

    words: str = ""
    signs: tuple[str, ...] = ()
    stopped: bool = False


def open_talk(talk: Talk, base: KnowledgeBase, asking: Asking) -> Opening:
    """Ask what is seen."""
    talk.say("What do you see on the plant, and where? A sentence or two will do.")
    talk.say("Or press Enter to pick from lists." if not talk.plain else "Or press the Enter key to pick from lists.")
    while True:
        line = talk.ask()
        typed = command_of(line) if line else None
        if line is None or typed is Command.STOP:
            return Opening(stopped=True)
        if typed is Command.SKIP:
            return Opening()
        if typed is Command.HELP:
            example = f'For example "{asking.example}".' if asking.example else ""
            talk.say(" ".join(filter(None, (_HELP, example, _WAYS))))
        elif typed in (Command.WHY, Command.BACK):
            talk.say("It begins here. What is seen decides what is asked.")
        elif len(line) > MOST_LETTER:
            talk.say("That is too long. Say it in a sentence or two.")
        elif line:
            return Opening(words=line)
        else:
            return _from_lists(talk, base, asking)


def _from_lists(talk: Talk, base: KnowledgeBase, asking: Asking) -> Opening:
    parts = [*asking.parts, *sorted({sign.part for sign in base.signs.values()} - set(asking.parts))]
    while True:
        talk.say(_WHERE)
        picked = _pick(talk, [asking.parts.get(part, part.replace("_", " ")) for part in parts], several=False)
        if isinstance(picked, Command):
            return Opening(stopped=picked is Command.STOP)
        signs = [sign for sign in base.signs.values() if sign.part == parts[picked[0]]]
        talk.say("What do you see there? Several may be true; type their numbers, such as 1 2.")
        seen = _pick(talk, [sign.name for sign in signs], several=True, meanings=[sign.meaning for sign in signs])
        if isinstance(seen, Command):
            if seen is Command.BACK:
                continue
            return Opening(stopped=seen is Command.STOP)
        return Opening(signs=tuple(signs[place].id for place in seen))


def _pick(talk: Talk, says: Sequence[str], *, several: bool, meanings: Sequence[str] = ()) -> tuple[int, ...] | Command:
    """The places picked, or a command that leaves the list."""
    say_options(talk, [*says, "Don't know"])
    while True:
        line = talk.ask()
        if line is None:
            return Command.STOP
        typed = read_typed(line, Options(tuple(says), several))
        if typed.command in (Command.HELP, Command.WHY):
            for say, meaning in zip(says, meanings, strict=False):
                talk.say(f"{say}: {meaning}", first="" if talk.plain else "  - ")
            talk.say('Type a number or the first letters; "back", "skip" and "stop" work here too.')
        elif typed.command is not None:
            return typed.command
        elif typed.problem:
            talk.say(typed.problem)
        else:
            return typed.chosen


def say_understood(talk: Talk, base: KnowledgeBase, case: Case) -> None:
    """What was understood of the words, and what was not."""
    seen = [base.signs[found.sign].name for found in case.signs
            if found.state is State.PRESENT and found.sign in base.signs]
    talk.say("Understood: " + "; ".join(dict.fromkeys(seen)) if seen else "No sign of trouble was understood in that.")
    left = "; ".join(f'"{shortened(words, 60)}"' for words in case.not_understood[:4])
    if left:
        talk.say(f"Not read: {left}")
