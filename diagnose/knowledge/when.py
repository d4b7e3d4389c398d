"""Reads the tests of a ``when`` list: one small mapping a test, such as ``{event: move, within: 21 days}``."""

from __future__ import annotations

import re

from diagnose.knowledge import words
from diagnose.knowledge.form import Form
from diagnose.marked_yaml import Items, Node, Pairs, where_of
from diagnose.model.facts import MeasureRequest
from diagnose.model.knowledge import AllOf, AnyOf, Atom, Bound, EventTest, MeasureTest, Test
from diagnose.problems import Where, nearest

__all__ = ["read_all", "read_alternatives", "read_atom"]

_FIXED = {"season": words.SEASONS, "place": words.PLACES, "reservoir": ("yes", "no")}
_NEGATED = {"no sign": "sign", "no habit": "habit", "not condition": "condition"}
_DAYS = re.compile(r"(\d{1,4}) days?")
_AGO = re.compile(r"(\d{1,4}) days? ago")
_NUMBER = re.compile(r"(-?\d{1,9}(?:\.\d{1,9})?) (\S.*)")
_NEED = re.compile(r"need (\w+)(?: (plus|minus) (\d{1,9}(?:\.\d{1,9})?))?")


def read_all(form: Form, node: Node | None, where: Where) -> AllOf:
    """The tests of a list, all of which must hold; nothing written means nothing is asked."""
    if node is None:
        return AllOf(())
    if not isinstance(node, Items):
        form.wrong(where_of(node, where), "not-a-list", 'Tests must be a list, such as [{condition: air_dry}].')
        return AllOf(())
    return AllOf(tuple(test for item in node if (test := _read_test(form, item, where)) is not None))


def read_alternatives(form: Form, node: Node | None, where: Where) -> AnyOf:
    """Alternatives, each a list of tests that must all hold."""
    if not isinstance(node, Items) or not node:
        form.wrong(where_of(node, where), "not-a-list", 'Alternatives must be a list of lists of tests.')
        return AnyOf(())
    return AnyOf(tuple(_read_alternative(form, item, where) for item in node))


def _read_alternative(form: Form, node: Node, where: Where) -> AllOf:
    if isinstance(node, Items):
        if not node:
            form.wrong(node.where, "no-test", "An alternative without tests would always hold.")
        return read_all(form, node, where)
    test = _read_test(form, node, where)
    return AllOf((test,) if test else ())


def _read_test(form: Form, node: Node, where: Where) -> Test | None:
    pairs = form.pairs(node, where, "A test")
    if not pairs:
        if isinstance(node, Pairs):
            form.wrong(node.where, "no-test", "This test is empty.")
        return None
    first = next(iter(pairs))
    if first in ("any", "all"):
        return _read_group(form, pairs, first)
    if first in ("event", "no event"):
        return _read_event(form, pairs, first)
    if first == "measure":
        return _read_measure(form, pairs)
    kind = _NEGATED.get(first, first)
    if kind not in words.ATOM_KINDS:
        known = [*words.ATOM_KINDS, *_NEGATED, "event", "no event", "measure", "any", "all"]
        form.wrong(pairs.place(first), "unknown-test", f'"{first}" is not a kind of test.', nearest(first, known, 30))
        return None
    form.keys(pairs, [first], [], "This test")
    return read_atom(form, pairs, first, kind)


def _read_group(form: Form, pairs: Pairs, first: str) -> Test:
    form.keys(pairs, [first], [], "This test")
    if first == "any":
        return read_alternatives(form, pairs[first], pairs.place(first))
    return read_all(form, pairs[first], pairs.place(first))


def read_atom(form: Form, pairs: Pairs, first: str, kind: str) -> Test | None:
    """The test written as ``first: value`` or ``first: [values]``, where each value is a word or id of that kind."""
    texts = form.one_or_more(pairs, first)
    if not texts and pairs[first] == []:
        form.wrong(pairs.place(first), "empty-text", f'"{first}" names nothing.')
    if not texts:
        return None
    allowed = form.ids[kind] if kind in words.TERM_KINDS else _FIXED.get(kind)
    for text in texts:
        if allowed is None:
            form.reference("cause" if kind == "suspected" else kind, str(text), text.where)
        elif text not in allowed:
            form.wrong(text.where, "unknown-word", f'"{text}" is not a {kind}.', nearest(text, allowed, 20))
    return Atom(kind, tuple(str(text) for text in texts), wanted=first not in _NEGATED)  # type: ignore[arg-type]


def _read_event(form: Form, pairs: Pairs, first: str) -> Test | None:
    well_formed = form.keys(pairs, [first], ["within", "longer ago than"], "An event test")
    event = form.choice(pairs, first, words.EVENTS, "")
    within = "within" in pairs
    if within == ("longer ago than" in pairs):
        if well_formed:
            form.wrong(pairs.place(first), "no-window", 'An event test needs either "within" or "longer ago than".')
        return None
    text = form.text(pairs, "within" if within else "longer ago than")
    found = _DAYS.fullmatch(text)
    if not found:
        form.wrong(pairs.place(first), "no-window", f'"{text}" is not a window of days.', 'Write "within: 21 days".')
        return None
    return EventTest(event, int(found[1]), within, first == "event")


def _read_measure(form: Form, pairs: Pairs) -> Test | None:
    well_formed = form.keys(pairs, ["measure"], ["over", "ending", "during", "above", "below"], "A measure test")
    where = where_of(pairs.get("measure"), pairs.where)
    measure = form.reference("measure", form.text(pairs, "measure"), where)
    request = _read_window(form, pairs, measure, where) if well_formed else None
    side = "above" if "above" in pairs else "below"
    if ("above" in pairs) == ("below" in pairs):
        if well_formed:
            form.wrong(where, "no-bound", 'A measure test needs either "above" or "below".')
        return None
    bound = _read_bound(form, form.text(pairs, side), measure, where_of(pairs[side], where))
    return MeasureTest(request, side == "above", bound) if bound and request else None


def _read_window(form: Form, pairs: Pairs, measure: str, where: Where) -> MeasureRequest | None:
    if "during" in pairs:
        return MeasureRequest(measure, 0, 0, form.choice(pairs, "during", form.ids["stage"], ""))
    if "over" not in pairs and measure not in form.ids.get("windowed measure", ()):
        return MeasureRequest(measure, 0)
    over = _DAYS.fullmatch(form.text(pairs, "over"))
    ending = _AGO.fullmatch(form.text(pairs, "ending")) if "ending" in pairs else None
    if not over or ("ending" in pairs and not ending):
        form.wrong(where, "no-window", "A measure test needs a window.",
                   'Write "over: 30 days", perhaps with "ending: 14 days ago", or "during: growth_forming".')
        return None
    return MeasureRequest(measure, int(over[1]), int(ending[1]) if ending else 0)


def _read_bound(form: Form, text: str, measure: str, where: Where) -> Bound | None:
    need = _NEED.fullmatch(text)
    if need:
        if need[1] not in form.ids["need"]:
            hint = nearest(need[1], form.ids["need"], 20)
            form.wrong(where, "unknown-need", f'"{need[1]}" is not a need of a group.', hint)
        return Bound(float(need[3] or 0) * (-1 if need[2] == "minus" else 1), need[1])
    number = _NUMBER.fullmatch(text)
    unit = form.ids.get("unit of " + measure, ())
    if not number:
        form.wrong(where, "number-without-unit", f'"{text}" is not a number with its unit.',
                   f'Write for example "40 {next(iter(unit), "%")}" or "need night_low_c minus 2".')
        return None
    if unit and number[2] not in unit:
        form.wrong(where, "wrong-unit", f'"{number[2]}" is not the unit of {measure}.', f"It is {next(iter(unit))}.")
    return Bound(float(number[1]))
