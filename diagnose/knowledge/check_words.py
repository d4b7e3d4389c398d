"""Checks of what the grower reads: no filler, no bare figure, no advice that can hurt without its caution."""

from __future__ import annotations

import re
from collections.abc import Iterator

from diagnose.knowledge import words
from diagnose.knowledge.checking import check, claims_of
from diagnose.model.knowledge import Advice, Cause, Caution, KnowledgeBase
from diagnose.problems import Problem, Where, nearest

__all__: list[str] = []

_FILLER = re.compile(r"\b(todo|tbd|fixme|lorem|n/a|xxx|unknown|placeholder)\b|^\W*$", re.IGNORECASE)
_FIGURE = re.compile(r"\{([a-z_0-9.]+)\}")
_NEXT_FIGURE = re.compile(r"^,? ?(to|and|or) \{[a-z_0-9.]+\}")
_NEAR = 3  # a unit stands within so many words after its figure


@check("filler-text")
def filler_text(base: KnowledgeBase) -> Iterator[Problem]:
    """Texts that say nothing."""
    for text, where in _texts(base):
        if _FILLER.search(text):
            yield Problem(where, "filler-text", f'"{text[:60]}" says nothing a grower can use.', "Say it plainly.")


def _texts(base: KnowledgeBase) -> Iterator[tuple[str, Where]]:
    for cause in base.causes.values():
        yield from ((text, cause.where) for text in (cause.name, cause.story, cause.recovers))
        yield from ((rule.text, rule.claim.where) for rule in cause.advice)
        yield from ((settling.check, settling.claim.where) for settling in cause.settle)
        yield from ((other.tell_apart, other.where) for other in cause.look_alikes)
    yield from ((claim.why, claim.where) for claim in claims_of(base) if claim.why)
    yield from ((sign.meaning, sign.where) for sign in base.signs.values())
    yield from ((condition.name, condition.claim.where) for condition in base.conditions.values())
    yield from ((caution.text, caution.where) for caution in base.cautions.values())


def _advice(base: KnowledgeBase) -> Iterator[tuple[Cause, Advice]]:
    yield from ((cause, rule) for cause in base.causes.values() for rule in cause.advice)


@check("unknown-figure")
def unknown_figure(base: KnowledgeBase) -> Iterator[Problem]:
    """Figures in advice that are neither a measure nor a need of a group."""
    known = {*base.measures, *(f"need.{need}" for need in base.terms.needs)}
    for _, rule in _advice(base):
        for name in _FIGURE.findall(rule.text):
            if name not in known:
                yield Problem(rule.claim.where, "unknown-figure", f'Nothing gives the figure "{{{name}}}".',
                              nearest(name, known))


@check("figure-without-unit")
def figure_without_unit(base: KnowledgeBase) -> Iterator[Problem]:
    """Figures in advice after which no unit is written; they are filled in as bare numbers."""
    for _, rule in _advice(base):
        for match in _FIGURE.finditer(rule.text):
            unit = _unit_of(base, match[1])
            if unit and not _unit_follows(rule.text[match.end():], unit):
                yield Problem(rule.claim.where, "figure-without-unit", f'No unit stands after "{match[0]}".',
                              f"Write {' or '.join(words.UNIT_WORDS.get(unit, (unit,)))}.")


def _unit_of(base: KnowledgeBase, name: str) -> str:
    if name.startswith("need."):
        return next((unit for part, unit in words.NEED_UNITS.items() if f"{part}_" in f"{name}_"), "")
    return base.measures[name].unit if name in base.measures else ""


def _unit_follows(rest: str, unit: str) -> bool:
    while following := _NEXT_FIGURE.match(rest):
        rest = rest[following.end():]
    near = " ".join(rest.split()[:_NEAR])
    return any(re.search(rf"(^|\W){re.escape(word)}", near) for word in words.UNIT_WORDS.get(unit, (unit,)))


@check("advice-without-caution")
def advice_without_caution(base: KnowledgeBase) -> Iterator[Problem]:
    """Advice with a word that calls for a caution which its cause does not name."""
    for cause, rule in _advice(base):
        if rule.part == "never":
            continue
        for caution in base.cautions.values():
            found = _calling(caution, f"{rule.text} {rule.otherwise}")
            if found and caution.id not in cause.cautions:
                yield Problem(rule.claim.where, "advice-without-caution", f'"{found}" calls for "{caution.id}".',
                              'Add it under "cautions".')


def _calling(caution: Caution, text: str) -> str:
    """The first word or phrase of the text that calls for the caution."""
    for call in caution.called_by:
        if re.search(rf"\b{re.escape(call)}(s|es)?\b", text, re.IGNORECASE):
            return call
    return ""
