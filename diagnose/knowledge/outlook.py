"""Reads knowledge/outlook.yaml: when causes are named, what shows first, what treatments mean, what plants share."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import fields
from typing import Final

from diagnose.knowledge.entries import read_list
from diagnose.knowledge.form import Form
from diagnose.knowledge.when import read_all
from diagnose.marked_yaml import Pairs, where_of
from diagnose.model.knowledge import Cause, Claim, Scales
from diagnose.model.outlook import Concern, Days, Lead, Moves, OutlookLimits, OutlookRules, Treatment

__all__ = ["read_days", "read_outlook"]

_KEYS: Final = ("limits", "moves", "of_the_place", "concerns", "clean", "leads", "treatments")
_LIMITS: Final[Mapping[str, tuple[float, float]]] = {
    "least_probability": (0.001, 1), "least_decibans": (0, 40), "spreads_times": (1, 100), "most_findings": (1, 100),
    "season_days": (1, 366), "neighbour_from": (0.01, 1), "most_neighbours": (1, 1000),
}
_RAISES: Final = ("neighbour_has_it", "shared_place")
_DAYS: Final = re.compile(r"(\d{1,4}) to (\d{1,4})")
MOST_DAYS: Final = 1000


def read_outlook(form: Form, root: Pairs, scales: Scales, causes: Mapping[str, Cause]) -> OutlookRules:
    """The outlook rules of the file. Mistakes are noted on the form."""
    form.keys(root, _KEYS, (), "outlook.yaml")
    cited: set[str] = set()
    limits = {name: form.number(entry, "value", *_LIMITS[name], _LIMITS[name][0])
              for name, entry in _entries(form, root, "limits", tuple(_LIMITS), ("value",), cited).items()}
    concerns = tuple(read_list(form, root, "concerns", _concern))
    leads = tuple(read_list(form, root, "leads", lambda f, p: _lead(f, p, causes)))
    treatments = tuple(read_list(form, root, "treatments", _treatment))
    claims = [*(each.claim for each in concerns), *(each.claim for each in leads), *(each.claim for each in treatments)]
    cited |= {source for claim in claims for source in claim.sources}
    return OutlookRules(
        OutlookLimits(**{name: limits.get(name, 1.0) for name in _LIMITS}), _moves(form, root, scales, cited),
        frozenset(form.references(root, "of_the_place", "cause")), concerns,
        tuple(text.lower() for text in form.texts(root, "clean")), {lead.cause: lead for lead in leads}, treatments,
        tuple(sorted(cited)))


def read_days(form: Form, pairs: Pairs, key: str) -> Days:
    """A span such as ``7 to 10``, both in days and not the wrong way round."""
    if key not in pairs:
        return Days(0, 0)
    found = _DAYS.fullmatch(form.text(pairs, key))
    days = Days(int(found[1]), int(found[2])) if found else Days(1, 0)
    if not 0 <= days.low <= days.high <= MOST_DAYS:
        form.wrong(where_of(pairs[key], pairs.where), "no-window", f'"{pairs[key]}" is not a span of days.',
                   'Write it as "7 to 10".')
    return days


def _entries(form: Form, root: Pairs, key: str, names: tuple[str, ...], parts: tuple[str, ...], cited: set[str]
             ) -> dict[str, Pairs]:
    """The known entries of a block, each with its sources noted as cited."""
    block = form.block(root, key)
    form.keys(block, names, (), f'"{key}"')
    found = {name: form.pairs(node, block.where, name) for name, node in block.items() if name in names}
    for name, entry in found.items():
        form.keys(entry, (*parts, "from"), (), f'"{name}"')
        cited.update(form.sources(entry))
    return found


def _moves(form: Form, root: Pairs, scales: Scales, cited: set[str]) -> Moves:
    names = tuple(field.name for field in fields(Moves))
    words = [word for word in scales.how_much_decibans if word != "rules out"]
    found = dict.fromkeys(names, 0.0)
    for name, entry in _entries(form, root, "moves", names, ("how_much",), cited).items():
        word = form.choice(entry, "how_much", words, words[0])
        found[name] = scales.how_much_decibans[word] * (1 if name in _RAISES else -1)
    return Moves(**found)


def _claim(form: Form, pairs: Pairs) -> Claim:
    return Claim("", form.sources(pairs), pairs.where)


def _concern(form: Form, pairs: Pairs) -> Concern:
    form.keys(pairs, ("when", "causes", "from"), (), "A concern")
    return Concern(read_all(form, pairs.get("when"), pairs.where), form.references(pairs, "causes", "cause"),
                   _claim(form, pairs))


def _lead(form: Form, pairs: Pairs, causes: Mapping[str, Cause]) -> Lead:
    form.keys(pairs, ("cause", "sign", "days", "from"), (), "A lead")
    cause, sign = (next(iter(form.references(pairs, kind, kind)), "") for kind in ("cause", "sign"))
    shown = {rule.sign for rule in causes[cause].shows} if cause in causes else {sign}
    if sign in form.ids.get("sign", ()) and sign not in shown:
        form.wrong(where_of(pairs["sign"], pairs.where), "sign-not-shown",
                   f'"{cause}" does not show the sign "{sign}".', "A lead names a sign of the cause's own file.")
    return Lead(cause, sign, read_days(form, pairs, "days"), _claim(form, pairs))


def _treatment(form: Form, pairs: Pairs) -> Treatment:
    needed = ("treatment", "words", "against", "repeat_days", "rounds", "judged_after_days", "from")
    form.keys(pairs, needed, (), "A treatment")
    return Treatment(
        form.text(pairs, "treatment"), tuple(text.lower() for text in form.texts(pairs, "words")),
        form.references(pairs, "against", "cause"), read_days(form, pairs, "repeat_days"),
        int(form.number(pairs, "rounds", 1, 20, 1)), int(form.number(pairs, "judged_after_days", 1, 366, 14)),
        _claim(form, pairs))
