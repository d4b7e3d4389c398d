"""Reads a cause file: one cause with its rules, checks, advice and worked examples."""

from __future__ import annotations

import re
from pathlib import PurePath
from typing import Literal

from diagnose.knowledge import words
from diagnose.knowledge.form import Form
from diagnose.knowledge.when import read_all, read_atom
from diagnose.marked_yaml import Node, Pairs, Text, where_of
from diagnose.model.knowledge import (
    Advice,
    Cause,
    Claim,
    Example,
    LookAlike,
    Scales,
    SettlingCheck,
    Shift,
    Shows,
)
from diagnose.problems import Where

__all__ = ["claim_of", "read_cause"]

_FIGURE = re.compile(r"\{([a-z_0-9.]+)\}")

Direction = Literal["favoured_by", "spoken_against_by", "ruled_out_by"]
Part = Literal["now", "later", "never"]
_DIRECTIONS: tuple[Direction, ...] = ("favoured_by", "spoken_against_by", "ruled_out_by")
_ADVICE_PARTS: tuple[Part, ...] = ("now", "later", "never")


def read_cause(form: Form, pairs: Pairs, scales: Scales) -> Cause:
    """The cause of a file. Mistakes are noted on the form."""
    form.keys(pairs, words.CAUSE_KEYS, [], "A cause")
    cause = form.identifier(pairs, "cause")
    _check_file_name(form, pairs, cause)
    how_common = form.choice(pairs, "how_common", scales.how_common, next(iter(scales.how_common)))
    return Cause(
        id=cause,
        name=form.text(pairs, "name"),
        also_called=form.texts(pairs, "also_called"),
        kind=form.choice(pairs, "kind", words.CAUSE_KINDS, "care"),
        story=form.text(pairs, "story"),
        how_common=how_common,
        prior=scales.how_common[how_common],
        urgency=form.choice(pairs, "urgency", words.URGENCIES, "none"),
        spreads=_read_spreads(form, pairs),
        look_alikes=tuple(_look_alike(form, node, pairs.where) for node in form.items(pairs, "look_alikes")),
        shows=tuple(_shows(form, node, pairs.where, f"{cause}/shows/{n}", scales)
                    for n, node in enumerate(form.items(pairs, "shows"), 1)),
        shifts=_shifts(form, pairs, cause, scales),
        settle=tuple(_settling_check(form, node, pairs.where) for node in form.items(pairs, "settle")),
        advice=_advice(form, pairs, cause),
        recovers=form.text(pairs, "recovers"),
        look_again_days=int(form.number(pairs, "look_again_days", 1, 400, 14)),
        cautions=form.references(pairs, "cautions", "caution"),
        examples=tuple(_example(form, node, pairs.where) for node in form.items(pairs, "examples")),
        where=pairs.where,
    )


def _check_file_name(form: Form, pairs: Pairs, cause: str) -> None:
    stem = PurePath(pairs.where.file).stem
    if cause and stem != cause:
        form.wrong(where_of(pairs["cause"], pairs.where), "wrong-file-name",
                   f'The cause is called "{cause}" and the file "{stem}.yaml".', "They must agree.")


def _read_spreads(form: Form, pairs: Pairs) -> str:
    text = form.text(pairs, "spreads")
    if text and text != "no" and not text.startswith("yes: "):
        form.wrong(where_of(pairs["spreads"], pairs.where), "unknown-word",
                   f'"{text}" does not say whether it spreads.', 'Write no, or "yes: how it spreads".')
    return text.removeprefix("yes: ") if text.startswith("yes: ") else ""


def claim_of(form: Form, pairs: Pairs) -> Claim:
    """The reason and the sources of a claim."""
    return Claim(form.text(pairs, "why"), form.sources(pairs), pairs.where)


def _look_alike(form: Form, node: Node, where: Where) -> LookAlike:
    pairs = form.pairs(node, where, "A look-alike")
    form.keys(pairs, ["cause", "tell_apart"], [], "A look-alike")
    cause = form.references(pairs, "cause", "cause")
    return LookAlike(cause[0] if cause else "", form.text(pairs, "tell_apart"), pairs.where)


def _shows(form: Form, node: Node, where: Where, rule: str, scales: Scales) -> Shows:
    pairs = form.pairs(node, where, "A sign shown")
    form.keys(pairs, *words.SHOWS_KEYS, "A sign shown")
    sign = form.references(pairs, "sign", "sign")
    how_often = form.choice(pairs, "how_often", scales.how_often, next(iter(scales.how_often)))
    when = read_all(form, pairs.get("when"), pairs.where)
    return Shows(rule, sign[0] if sign else "", scales.how_often[how_often], how_often, when, claim_of(form, pairs))


def _shifts(form: Form, pairs: Pairs, cause: str, scales: Scales) -> tuple[Shift, ...]:
    return tuple(_shift(form, node, pairs.where, f"{cause}/{kind}/{n}", kind, scales)
                 for kind in _DIRECTIONS
                 for n, node in enumerate(form.items(pairs, kind), 1))


def _shift(form: Form, node: Node, where: Where, rule: str, kind: Direction, scales: Scales) -> Shift:
    pairs = form.pairs(node, where, "A shift")
    ruled_out = kind == "ruled_out_by"
    form.keys(pairs, ["when", "why", "from"] if ruled_out else words.SHIFT_KEYS[0], [], "A shift")
    when = read_all(form, pairs.get("when"), pairs.where)
    if pairs.get("when") == []:
        form.wrong(pairs.where, "no-test", "This shift names no test.")
    if ruled_out:
        decibans = -scales.how_much_decibans["rules out"]
    else:
        allowed = [word for word in scales.how_much_decibans if word != "rules out"]
        word = form.choice(pairs, "how_much", allowed, allowed[0])
        decibans = scales.how_much_decibans[word] * (1 if kind == "favoured_by" else -1)
    return Shift(rule, kind, when, decibans, claim_of(form, pairs))


def _settling_check(form: Form, node: Node, where: Where) -> SettlingCheck:
    pairs = form.pairs(node, where, "A settling check")
    form.keys(pairs, ["check", "against", "from"], [], "A settling check")
    claim = Claim("", form.sources(pairs), pairs.where)
    return SettlingCheck(form.text(pairs, "check"), form.references(pairs, "against", "cause"), claim)


def _advice(form: Form, pairs: Pairs, cause: str) -> tuple[Advice, ...]:
    if "advice" not in pairs:
        return ()
    parts = form.pairs(pairs["advice"], pairs.where, "Advice")
    form.keys(parts, _ADVICE_PARTS, [], "Advice")
    return tuple(_piece(form, node, parts.where, f"{cause}/advice/{part}/{n}", part)
                 for part in _ADVICE_PARTS for n, node in enumerate(form.items(parts, part), 1))


def _piece(form: Form, node: Node, where: Where, rule: str, part: Part) -> Advice:
    pairs = form.pairs(node, where, "A piece of advice")
    verb = "do_not" if part == "never" else "do"
    form.keys(pairs, [verb, "from"], ["when", "otherwise"], f'Advice under "{part}"')
    text, otherwise = form.text(pairs, verb), form.text(pairs, "otherwise")
    if not otherwise and any(_may_lack(form, name) for name in _FIGURE.findall(text)):
        form.wrong(pairs.where, "no-otherwise", "This advice holds a measure and does not say what to do without it.",
                   'Add "otherwise".')
    when = read_all(form, pairs.get("when"), pairs.where)
    return Advice(rule, part, text, otherwise, when,
                  Claim("", form.sources(pairs), pairs.where))


def _may_lack(form: Form, figure: str) -> bool:
    """Whether a figure can be unknown: a measure, or a need that not every group has."""
    return not figure.startswith("need.") or figure.removeprefix("need.") in form.ids["need if known"]


def _example(form: Form, node: Node, where: Where) -> Example:
    pairs = form.pairs(node, where, "An example")
    well_formed = form.keys(pairs, *words.EXAMPLE_KEYS, "An example")
    loses = form.references(pairs, "loses_to", "cause")
    if well_formed and ("wins" in pairs) == ("loses_to" in pairs):
        form.wrong(pairs.where, "example-without-end", 'An example needs either "wins" or "loses_to".')
    plant = form.block(pairs, "plant")
    form.keys(plant, [], words.PLANT_KEYS, "The plant of an example")
    for key in words.PLANT_KEYS:
        if key in plant:
            read_atom(form, plant, key, key)
    return Example(
        loses[0] if loses else "",
        form.references(pairs, "signs", "sign"),
        form.references(pairs, "absent", "sign"),
        {str(key): str(value) for key, value in plant.items() if isinstance(value, Text)},
        form.references(pairs, "conditions", "condition"),
        pairs.where,
    )
