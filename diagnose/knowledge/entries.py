"""Reads the lists of the rule base: signs and questions, conditions, groups, measures, habits, sources, cautions."""

from __future__ import annotations

from collections.abc import Callable, Collection
from pathlib import PurePath
from typing import TypeVar

from diagnose.knowledge import words
from diagnose.knowledge.causes import claim_of
from diagnose.knowledge.form import Form
from diagnose.knowledge.when import read_all, read_alternatives
from diagnose.marked_yaml import Node, Pairs, where_of
from diagnose.model.knowledge import (
    Answer,
    Caution,
    Condition,
    Group,
    HabitWords,
    MeasureKind,
    Need,
    Question,
    Scales,
    Sign,
    Source,
)
from diagnose.problems import InputError, Where

__all__ = ["read_caution", "read_condition", "read_group", "read_habit", "read_list", "read_measure", "read_question",
           "read_scales", "read_sign", "read_source"]

T = TypeVar("T")


def read_list(form: Form, root: Pairs, key: str, read: Callable[[Form, Pairs], T]) -> list[T]:
    """Every entry of the list under a key, read one by one."""
    return [read(form, form.pairs(node, root.where, f"An entry of {key}")) for node in form.items(root, key)]


def read_sign(form: Form, pairs: Pairs, scales: Scales) -> Sign:
    """A sign with its words."""
    form.keys(pairs, *words.SIGN_KEYS, "A sign")
    background = form.choice(pairs, "background", scales.background, next(iter(scales.background)))
    return Sign(
        form.identifier(pairs, "sign"), form.text(pairs, "name"), PurePath(pairs.where.file).stem,
        form.text(pairs, "meaning"), scales.background[background], form.references(pairs, "implies", "sign"),
        form.texts(pairs, "words"), form.texts(pairs, "not_words"), form.texts(pairs, "words_alone"),
        form.yes(pairs, "passing"), form.references(pairs, "yields_to", "sign"), pairs.where,
    )


def read_question(form: Form, pairs: Pairs) -> Question:
    """A question with its answers and all signs it settles."""
    form.keys(pairs, *words.QUESTION_KEYS, "A question")
    answers = tuple(_answer(form, node, pairs.where) for node in form.items(pairs, "answers"))
    signs = tuple(dict.fromkeys(sign for answer in answers for sign in answer.present + answer.absent))
    return Question(
        form.identifier(pairs, "question"), form.text(pairs, "ask"), form.text(pairs, "how"),
        form.choice(pairs, "effort", words.EFFORTS, "look"), form.yes(pairs, "several"), answers, signs, pairs.where,
    )


def _answer(form: Form, node: Node, where: Where) -> Answer:
    pairs = form.pairs(node, where, "An answer")
    form.keys(pairs, ["say"], ["present", "absent", "healthy"], "An answer")
    return Answer(form.text(pairs, "say"), form.references(pairs, "present", "sign"),
                  form.references(pairs, "absent", "sign"), form.yes(pairs, "healthy"))


def read_condition(form: Form, pairs: Pairs) -> Condition:
    """A named condition with its tests."""
    well_formed = form.keys(pairs, *words.CONDITION_KEYS, "A condition")
    if well_formed and ("any" in pairs) == ("when" in pairs):
        form.wrong(pairs.where, "no-test", 'A condition needs either "any" or "when".')
    when = (read_alternatives(form, pairs.get("any"), pairs.where) if "any" in pairs
            else read_all(form, pairs.get("when"), pairs.where))
    if pairs.get("when") == []:
        form.wrong(pairs.where, "no-test", "A condition without tests would always hold.")
    return Condition(form.identifier(pairs, "condition"), form.text(pairs, "name"), when, claim_of(form, pairs))


def read_group(form: Form, pairs: Pairs) -> Group:
    """A plant group with its needs."""
    form.keys(pairs, *words.GROUP_KEYS, "A group")
    return Group(
        form.identifier(pairs, "group"), form.text(pairs, "name"), _words(form, pairs, "traits", form.ids["trait"]),
        _needs(form, pairs), form.choice(pairs, "dry_out", words.DRY_OUT, "slightly"),
        form.text(pairs, "rest", empty=True), _words(form, pairs, "rest_season", words.SEASONS),
        _words(form, pairs, "bloom_season", words.SEASONS), form.text(pairs, "note"), form.texts(pairs, "names"),
        pairs.where,
    )


def _words(form: Form, pairs: Pairs, key: str, allowed: Collection[str]) -> tuple[str, ...]:
    found = []
    for node in form.items(pairs, key):
        single = Pairs(where_of(node, pairs.where))
        single[key] = node
        found.append(form.choice(single, key, allowed, ""))
    return tuple(word for word in found if word)


def _needs(form: Form, pairs: Pairs) -> dict[str, Need]:
    block = form.block(pairs, "needs")
    needed = [need for need in form.ids["need"] if need not in form.ids["need if known"]]
    form.keys(block, needed, form.ids["need"], "needs")
    needs = {}
    for key, node in block.items():
        entry = form.pairs(node, block.where, key)
        form.keys(entry, ["value", "from"], [], "A need")
        needs[key] = Need(form.number(entry, "value", -20, 200_000, 0.0), form.sources(entry))
    return needs


def read_measure(form: Form, pairs: Pairs) -> MeasureKind:
    """A quantity with its unit."""
    form.keys(pairs, ["measure", "name", "unit", "windowed", "meaning", "source"], [], "A measure")
    return MeasureKind(form.identifier(pairs, "measure"), form.text(pairs, "name"), form.text(pairs, "unit"),
                       form.yes(pairs, "windowed"), form.text(pairs, "meaning"), form.text(pairs, "source"),
                       pairs.where)


def read_habit(form: Form, pairs: Pairs) -> HabitWords:
    """A circumstance told in words."""
    form.keys(pairs, ["habit", "name", "words"], ["not_words", "words_alone", "yearly"], "A habit")
    return HabitWords(form.identifier(pairs, "habit"), form.text(pairs, "name"), form.texts(pairs, "words"),
                      form.texts(pairs, "not_words"), form.texts(pairs, "words_alone"), form.yes(pairs, "yearly"),
                      pairs.where)


def read_source(form: Form, pairs: Pairs) -> Source:
    """A cited publication."""
    form.keys(pairs, ["source", "title", "publisher", "year", "link", "kind"], [], "A source")
    return Source(form.text(pairs, "source"), form.text(pairs, "title"), form.text(pairs, "publisher"),
                  form.text(pairs, "year"), form.text(pairs, "link"),
                  form.choice(pairs, "kind", words.SOURCE_KINDS, "trade"), pairs.where)


def read_caution(form: Form, pairs: Pairs) -> Caution:
    """A warning that goes with advice."""
    form.keys(pairs, ["caution", "text", "from"], ["called_by"], "A caution")
    return Caution(form.identifier(pairs, "caution"), form.text(pairs, "text"), form.sources(pairs),
                   form.texts(pairs, "called_by"), pairs.where)


def read_scales(form: Form, root: Pairs) -> Scales:
    """The words for strength, frequency and urgency with their numbers. Raises InputError where words are missing
    without which nothing else could be read."""
    form.keys(root, words.SCALE_WORDS, [], "scales.yaml")
    tables = {scale: _scale(form, root, scale) for scale in words.SCALE_WORDS}
    if any(not table or not table.keys() >= set(words.SCALE_WORDS[scale]) for scale, table in tables.items()):
        raise InputError(form.problems)
    return Scales(**tables)


def _scale(form: Form, root: Pairs, scale: str) -> dict[str, float]:
    block = form.block(root, scale)
    form.keys(block, words.SCALE_WORDS[scale], block, f'The scale "{scale}"')
    if root.get(scale) == {}:
        form.wrong(block.where, "missing-key", f'The scale "{scale}" holds no words.')
    limits = words.CONSTANT_LIMITS if scale == "constants" else dict.fromkeys(block, words.SCALE_LIMITS[scale])
    return {key: form.number(block, key, *limits.get(key, (-1000, 1000)), 0) for key in block}
