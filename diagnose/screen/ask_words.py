"""What the question sequence says: questions, help, reasons, how the causes stand, and why it stops."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from diagnose.model.asking import Circumstance
from diagnose.model.knowledge import Answer, KnowledgeBase
from diagnose.reason.interview import AnyQuestion, Effect, Stop
from diagnose.reason.replies import Contradiction
from diagnose.reason.standing import Standing
from diagnose.screen.card import percent
from diagnose.screen.harmless import shortened
from diagnose.screen.talk import Talk

__all__ = ["LEADING", "say_contradictions", "say_effects", "say_help", "say_options", "say_question", "say_standing",
           "say_stop"]

LEADING = 3
NAME, BAR = 30, 14
WIDE = NAME + BAR + 31  # characters that a row with its bar may take
KEYS = "? how to look   why   back   skip   stop"
_EFFORTS = {"look": "a look is enough", "touch": "touch it", "lift": "lift the pot", "unpot": "take it out of its pot",
            "cut": "this needs a cut"}
_STOPS = {
    Stop.ONE: "One cause is clear, so I ask no more.",
    Stop.SET: "Several causes together are clear, so I ask no more.",
    Stop.NOTHING_WORTH: "No further question is worth its effort.",
    Stop.ENOUGH: "{most} questions are answered; I ask no more than that.",
    None: "Here is the answer so far.",
}


def say_question(talk: Talk, number: int, most: int, question: AnyQuestion, says: Sequence[str], noted: str) -> None:
    """A question with its answers; ``noted`` names signs of it that are known already."""
    effort = _EFFORTS["look"] if isinstance(question, Circumstance) else _EFFORTS[question.effort]
    about = "" if isinstance(question, Circumstance) else f" ({effort})"
    talk.say()
    talk.say(f"Question {number} of at most {most}{about}")
    talk.say(question.ask)
    if noted:
        talk.say(f"Known already: {noted}. Is there more?")
    say_options(talk, [*says, "Don't know"])
    talk.say("Several may be true; type their numbers, such as 1 2." if question.several else
             "Type a number or the first letters.")
    talk.say(KEYS if not talk.plain else "Or type: question mark for how to look, why, back, skip, stop.")


def say_options(talk: Talk, says: Sequence[str]) -> None:
    """Numbered lines."""
    for number, say in enumerate(says, 1):
        talk.say(say, first=f"{number}. " if talk.plain else f"{number:>4}  ")


def say_help(talk: Talk, base: KnowledgeBase, question: AnyQuestion, says: Sequence[str]) -> None:
    """How to look, and what exactly each answer means."""
    if question.how:
        talk.say(f"How to look: {question.how}")
    for answer in question.answers:
        if isinstance(answer, Answer) and answer.say in says and not answer.healthy:
            meaning = " ".join(base.signs[sign].meaning for sign in answer.present)
            talk.say(f"{answer.say}: {meaning}", first="" if talk.plain else "  - ")
    talk.say('Type a number or first letters. "why" shows what each answer would change, "back" undoes the last '
             'answer, "skip" (or "don\'t know") goes on at no cost, "stop" gives the answer so far.')


def say_effects(talk: Talk, causes: Sequence[str], base: KnowledgeBase, effects: Iterable[Effect]) -> None:
    """What each answer would change."""
    talk.say("What each answer would change:")
    for number, effect in enumerate(effects, 1):
        name = base.causes[causes[effect.leader]].name
        then, now = percent(effect.probability), percent(effect.now)
        change = f"{name} would lead with {then}" + ("." if then == now else f"; now {now}.")
        talk.say(f"{effect.say}: {change}", first=f"{number}. " if talk.plain else f"{number:>4}  ")


def say_standing(talk: Talk, causes: Sequence[str], base: KnowledgeBase, standing: Standing,
                 before: Standing | None) -> None:
    """The leading causes, and how they moved with the last answer."""
    order = [int(n) for n in np.argsort(-standing.probability, kind="stable")[:LEADING]
             if standing.probability[n] >= 0.01]
    if not order:
        return
    rows = [(base.causes[causes[n]].name, float(standing.probability[n]),
             None if before is None else float(before.probability[n])) for n in order]
    talk.say()
    if talk.plain:
        talk.say("So far: " + "; ".join(f"{name} {percent(now)}{_moved(now, then, ', ')}" for name, now, then in rows)
                 + ".")
        return
    talk.say("So far")
    for name, now, then in rows:
        if talk.width < WIDE:
            talk.say(f"{name} {percent(now)}{_moved(now, then, ', ')}", first="  ", rest="    ")
        else:
            bar = "#" * round(now * BAR)
            row = f"{shortened(name, NAME):<{NAME}} {percent(now):>9}  {bar:.<{BAR}} {_moved(now, then, '')}"
            talk.say(row, first="  ")


def _moved(now: float, then: float | None, joint: str) -> str:
    if then is None or abs(now - then) < 0.01:
        return ""
    return f"{joint}{'up' if now > then else 'down'} from {percent(then)}"


def say_contradictions(talk: Talk, found: Iterable[Contradiction]) -> None:
    """Findings that cannot both be so."""
    for pair in found:
        why = f" {pair.why}" if pair.why else " The later answer counts."
        talk.say(f'Wait: this does not go together. First: "{pair.earlier}". Then: "{pair.later}".{why} '
                 'If the last answer was a slip, type "back".')


def say_stop(talk: Talk, stop: Stop | None, most: int) -> None:
    """Why no more is asked, ``most`` questions being allowed; None where the grower stopped."""
    talk.say()
    talk.say(_STOPS[stop].format(most=most))
