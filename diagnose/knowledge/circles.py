"""Conditions that rest on themselves, signs that imply or yield to themselves: no order could settle them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from graphlib import CycleError, TopologicalSorter

from diagnose.knowledge.form import Form
from diagnose.model.knowledge import AllOf, AnyOf, Atom, Condition, EventTest, MeasureTest, Sign, Test
from diagnose.problems import Where

__all__ = ["note_circles"]


def note_circles(form: Form, conditions: Mapping[str, Condition], signs: Mapping[str, Sign]) -> None:
    """Note a circle among the conditions and those among the signs, if there are any."""
    _note(form, "condition", {name: sorted(set(_conditions_in(condition.when)))
                              for name, condition in conditions.items()},
          {name: condition.claim.where for name, condition in conditions.items()})
    for leads_to in ({name: sign.implies for name, sign in signs.items()},
                     {name: sign.yields_to for name, sign in signs.items()}):
        _note(form, "sign", leads_to, {name: sign.where for name, sign in signs.items()})


def _note(form: Form, kind: str, leads_to: Mapping[str, Iterable[str]], places: Mapping[str, Where]) -> None:
    try:
        TopologicalSorter(leads_to).prepare()
    except CycleError as error:
        names = error.args[1][:-1]
        start = names.index(min(names))
        round_trip = " -> ".join([*names[start:], *names[:start], min(names)])
        form.wrong(places[min(names)], "circle", f"These {kind}s lead back to the first: {round_trip}.",
                   "Take one step out.")


def _conditions_in(test: Test) -> Iterable[str]:
    match test:
        case AllOf(tests) | AnyOf(tests):
            for part in tests:
                yield from _conditions_in(part)
        case Atom(kind="condition", values=values):
            yield from values
        case Atom() | EventTest() | MeasureTest():
            return
