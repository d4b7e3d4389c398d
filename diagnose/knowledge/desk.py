"""Reads what the rule base says about the desk: triage.yaml and the texts of wording/."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from pathlib import Path
from typing import TypeVar

from diagnose.knowledge.form import Form
from diagnose.knowledge.reading import read_rule_file
from diagnose.knowledge.words import CAUSE_KINDS
from diagnose.marked_yaml import Pairs, Text
from diagnose.model.cases import CaseState
from diagnose.model.desk import ClubRules, DeskRules, OrderRules, OutbreakRules, PastedRules, SimilarRules, Wording
from diagnose.model.knowledge import KnowledgeBase
from diagnose.problems import InputError, Where, nearest

__all__ = ["read_desk_rules", "read_pasted_rules", "read_wording"]

T = TypeVar("T")
_PARTS = ("order", "hurts", "outbreak", "club", "similar")
_ORDER = ("spreads_times", "hurts_times", "unread_cost", "state_share")
_OUTBREAK = ("kinds", "window_days", "history_days", "least_cases", "most_chance", "book_cases")
_PASTED = ("separators", "headers", "closings", "salutations", "introductions", "streets", "not_names", "titles",
           "relations")
MOST = 1e6
MOST_DAYS = 36_500


def read_desk_rules(base: KnowledgeBase, folder: Path) -> DeskRules:
    """The rules of the desk. Raises InputError with every mistake of the file."""
    form = Form({"cause": base.causes, "habit": base.habits, "source": base.sources})
    root = _root(form, folder, "triage.yaml")
    form.keys(root, _PARTS, (), "triage.yaml")
    outbreak, club, similar = (form.pairs(root.get(key), root.where, key) for key in _PARTS[2:])
    form.keys(outbreak, _OUTBREAK, (), "outbreak")
    form.keys(club, ("book_cases", "least_cases"), (), "club")
    form.keys(similar, ("least_alike", "most_shown", "same_group"), (), "similar")
    rules = DeskRules(
        order=_order(form, root),
        outbreak=OutbreakRules(
            kinds=_words(form, outbreak, "kinds", CAUSE_KINDS),
            window_days=int(form.number(outbreak, "window_days", 1, 366, 1)),
            history_days=int(form.number(outbreak, "history_days", 1, MOST_DAYS, 1)),
            least_cases=int(form.number(outbreak, "least_cases", 2, MOST, 2)),
            most_chance=form.number(outbreak, "most_chance", 0, 1, 0),
            book_cases=form.number(outbreak, "book_cases", 0.1, MOST, 1),
        ),
        club=ClubRules(form.number(club, "book_cases", 0.1, MOST, 1),
                       int(form.number(club, "least_cases", 1, MOST, 1))),
        similar=SimilarRules(form.number(similar, "least_alike", 0, 1, 0),
                             int(form.number(similar, "most_shown", 0, 100, 0)),
                             form.number(similar, "same_group", 0, 1, 0)),
    )
    return _sound(form, rules)


def _order(form: Form, root: Pairs) -> OrderRules:
    order = form.pairs(root.get("order"), root.where, "order")
    form.keys(order, _ORDER, (), "order")
    shares = form.pairs(order.get("state_share"), order.where, "state_share")
    form.keys(shares, [str(state) for state in CaseState], (), "state_share")
    return OrderRules(
        form.number(order, "spreads_times", 1, 100, 1), form.number(order, "hurts_times", 1, 100, 1),
        form.number(order, "unread_cost", 0, 100, 1), {str(s): form.number(shares, str(s), 0, 1, 1) for s in CaseState},
        dict(_hurts(form, root)))


def _hurts(form: Form, root: Pairs) -> Iterable[tuple[str, str]]:
    for node in form.items(root, "hurts"):
        pairs = form.pairs(node, root.where, "An entry of hurts")
        form.keys(pairs, ("why", "from"), ("cause", "habit"), "An entry of hurts")
        form.sources(pairs)
        for kind in ("cause", "habit"):
            if kind in pairs:
                yield form.reference(kind, form.text(pairs, kind), pairs.place(kind)), form.text(pairs, "why")


def _words(form: Form, pairs: Pairs, key: str, allowed: Collection[str]) -> tuple[str, ...]:
    found = form.texts(pairs, key)
    for word in found:
        if word not in allowed:
            form.wrong(pairs.place(key), "unknown-word", f'"{word}" is not a word for "{key}".', nearest(word, allowed))
    return found


def read_wording(folder: Path, name: str, needed: Collection[str]) -> Wording:
    """The texts of a file of wording/, all of the needed ones. Raises InputError where one is missing."""
    form = Form({})
    root = _root(form, folder, f"wording/{name}.yaml")
    form.keys(root, needed, (), f"wording/{name}.yaml")
    texts = {key: form.text(root, key) for key, value in root.items() if isinstance(value, Text)}
    return _sound(form, Wording(texts))


def read_pasted_rules(folder: Path) -> PastedRules:
    """The words by which pasted letters are split and cleared of names. Raises InputError."""
    form = Form({})
    root = _root(form, folder, "wording/pasted.yaml")
    form.keys(root, _PASTED, (), "wording/pasted.yaml")
    lists = [tuple(word.lower() for word in form.texts(root, key)) for key in _PASTED]
    return _sound(form, PastedRules(*lists))


def _root(form: Form, folder: Path, relative: str) -> Pairs:
    shown = f"{folder.name}/{relative}"
    return form.pairs(read_rule_file(folder / relative, shown), Where(shown), "This file")


def _sound(form: Form, value: T) -> T:
    """The value, if nothing was wrong."""
    if form.problems:
        raise InputError(form.problems)
    return value
