"""Reads knowledge/asking.yaml: circumstances that may be asked, pairs of signs that clash, names of parts."""

from __future__ import annotations

from pathlib import Path

from diagnose.knowledge import words
from diagnose.knowledge.entries import read_list
from diagnose.knowledge.form import Form
from diagnose.knowledge.reading import read_rule_file
from diagnose.marked_yaml import Node, Pairs, where_of
from diagnose.model.asking import Asking, Circumstance, CircumstanceAnswer, Clash
from diagnose.model.knowledge import KnowledgeBase
from diagnose.problems import InputError, Where

__all__ = ["read_asking"]


def read_asking(base: KnowledgeBase, folder: Path) -> Asking:
    """What asking.yaml of the folder says, checked against the rule base. Raises InputError with every mistake."""
    name = f"{folder.name}/asking.yaml"
    root = read_rule_file(folder / "asking.yaml", name)
    form = Form({"sign": base.signs, "habit": base.habits, "group": base.groups, **base.terms.by_kind,
                 "part": {sign.part for sign in base.signs.values()}})
    pairs = form.pairs(root, Where(name), "asking.yaml")
    form.keys(pairs, ["circumstances", "clashes"], ["example", "parts"], "asking.yaml")
    circumstances = read_list(form, pairs, "circumstances", lambda f, p: _circumstance(f, p, base))
    clashes = read_list(form, pairs, "clashes", _clash)
    parts = read_list(form, pairs, "parts", _part)
    if form.problems:
        raise InputError(form.problems)
    return Asking({entry.id: entry for entry in circumstances}, tuple(clashes), dict(parts),
                  form.text(pairs, "example"))


def _circumstance(form: Form, pairs: Pairs, base: KnowledgeBase) -> Circumstance:
    form.keys(pairs, ["circumstance", "ask", "how", "answers"], ["several", "logged"], "A circumstance")
    answers = tuple(_answer(form, node, pairs.where, base) for node in form.items(pairs, "answers"))
    found = Circumstance(form.identifier(pairs, "circumstance"), form.text(pairs, "ask"), form.text(pairs, "how"),
                         form.yes(pairs, "several"), form.yes(pairs, "logged"), answers, pairs.where)
    if found.id in base.questions:
        form.wrong(pairs.where, "same-id-twice", f'"{found.id}" is also a question on signs.', "Rename one.")
    if len({answer.say for answer in answers}) < max(2, len(answers)):
        form.wrong(pairs.where, "answers-alike", "A circumstance needs two answers or more, no two in the same words.")
    return found


def _answer(form: Form, node: Node, where: Where, base: KnowledgeBase) -> CircumstanceAnswer:
    pairs = form.pairs(node, where, "An answer")
    form.keys(pairs, ["say", "how_common"], ["plant", "habits"], "An answer")
    common = form.choice(pairs, "how_common", tuple(base.scales.how_common), next(iter(base.scales.how_common)))
    return CircumstanceAnswer(form.text(pairs, "say"), base.scales.how_common[common], _plant(form, pairs),
                              form.references(pairs, "habits", "habit"))


def _plant(form: Form, pairs: Pairs) -> dict[str, str]:
    if "plant" not in pairs:
        return {}
    block = form.pairs(pairs["plant"], pairs.where, "plant")
    known = {**{key: form.ids[key] for key in ("stage", "medium", "size")}, "place": words.PLACES,
             "reservoir": ("yes", "no")}
    form.keys(block, [], ["group", *known], "plant")
    found = {key: form.choice(block, key, allowed, "") for key, allowed in known.items() if key in block}
    if "group" in block:
        found["group"] = form.reference("group", form.text(block, "group"), where_of(block["group"], block.where))
    return found


def _part(form: Form, pairs: Pairs) -> tuple[str, str]:
    form.keys(pairs, ["part", "name"], [], "A part")
    return form.reference("part", form.text(pairs, "part"), pairs.where), form.text(pairs, "name")


def _clash(form: Form, pairs: Pairs) -> Clash:
    form.keys(pairs, ["signs", "why"], [], "A clash")
    signs = form.references(pairs, "signs", "sign")
    if len(signs) != 2:
        form.wrong(pairs.where, "not-a-pair", f"A clash names two signs, not {len(signs)}.")
        signs = ("", "")
    return Clash((signs[0], signs[1]), form.text(pairs, "why"), pairs.where)
