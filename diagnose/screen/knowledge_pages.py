"""Readable pages of the rule base: one cause, sign, condition, group, source or rule on one screen."""

from __future__ import annotations

from collections.abc import Iterable

from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text

from diagnose.model import knowledge as kb
from diagnose.model.knowledge import Cause, KnowledgeBase, Test
from diagnose.screen.harmless import harmless

__all__ = ["in_words", "page"]


def page(base: KnowledgeBase, name: str) -> RenderableType | None:
    """The page of whatever has this id; a rule's name leads to its cause; None where nothing has it."""
    cause = base.causes.get(name.partition("/")[0])
    if cause:
        return _cause(base, cause)
    if name in base.signs:
        return _sign(base, base.signs[name])
    if name in base.conditions:
        return _condition(base, base.conditions[name])
    if name in base.groups:
        return _group(base, base.groups[name])
    if name in base.sources:
        return _lines("Source", [_cited(base, name)])
    return None


def _cause(base: KnowledgeBase, cause: Cause) -> RenderableType:
    spread = f"spreads: {cause.spreads}" if cause.spreads else "does not spread"
    facts = f"{cause.kind}, {cause.how_common}, urgency: {cause.urgency}, {spread}"
    shifts = [f"{_side(shift)} ({shift.decibans:+g} dB) where {in_words(base, shift.when)}{_from(shift.claim)}"
              for shift in cause.shifts]
    advice = [f"{rule.part}: {rule.text}" + (f" (where {in_words(base, rule.when)})" if rule.when.tests else "")
              for rule in cause.advice]
    return Group(
        Text(f"{cause.name}  [{cause.id}]", style="bold"),
        Text(", ".join(cause.also_called), style="dim"),
        Text(facts),
        Text(cause.story),
        _lines("Shows", [_shows(base, rule) for rule in cause.shows]),
        _lines("Odds", shifts),
        _lines("Look-alikes", [f"{base.causes[other.cause].name}: {other.tell_apart}" for other in cause.look_alikes
                               if other.cause in base.causes]),
        _lines("Advice", advice),
        _lines("Recovers", [cause.recovers]),
        _lines("Cautions", [base.cautions[caution].text for caution in cause.cautions if caution in base.cautions]),
        _lines("Sources", [_cited(base, source) for source in _sources_of(cause)]),
    )


def _side(shift: kb.Shift) -> str:
    return {"favoured_by": "likelier", "spoken_against_by": "less likely", "ruled_out_by": "ruled out"}[shift.kind]


def _shows(base: KnowledgeBase, rule: kb.Shows) -> str:
    context = f", where {in_words(base, rule.when)}" if rule.when.tests else ""
    return f"{rule.how_often}: {base.signs[rule.sign].name}{context}{_from(rule.claim)}"


def _from(claim: kb.Claim) -> str:
    return f" [{', '.join(claim.sources)}]"


def _sources_of(cause: Cause) -> list[str]:
    return sorted({source for claim in cause.claims for source in claim.sources})


def _cited(base: KnowledgeBase, source: str) -> str:
    entry = base.sources.get(source)
    return f"{source}: {entry.title}. {entry.publisher}, {entry.year}. {entry.link}" if entry else source


def _sign(base: KnowledgeBase, sign: kb.Sign) -> RenderableType:
    question = base.question_of(sign.id)
    shown_by = [f"{rule.how_often}: {cause.name}" for cause in base.causes.values() for rule in cause.shows
                if rule.sign == sign.id]
    asked = [f"{question.ask} ({question.effort})", *(answer.say for answer in question.answers)] if question else []
    return Group(Text(f"{sign.name}  [{sign.id}]", style="bold"), Text(sign.meaning),
                 _lines("Asked as", asked), _lines("Shown by", shown_by), _lines("Words", sign.words))


def _condition(base: KnowledgeBase, condition: kb.Condition) -> RenderableType:
    used = [f"{cause.name} ({shift.decibans:+g} dB)" for cause in base.causes.values() for shift in cause.shifts
            if condition.id in in_words(base, shift.when, ids=True)]
    return Group(Text(f"{condition.name}  [{condition.id}]", style="bold"), Text(condition.claim.why),
                 _lines("Holds where", [in_words(base, condition.when)]), _lines("Moves", used),
                 _lines("Sources", [_cited(base, source) for source in condition.claim.sources]))


def _group(base: KnowledgeBase, group: kb.Group) -> RenderableType:
    needs = [f"{need}: {entry.value:g} [{', '.join(entry.sources)}]" for need, entry in group.needs.items()]
    return Group(Text(f"{group.name}  [{group.id}]", style="bold"), Text(", ".join(group.traits)),
                 _lines("Needs", needs), _lines("Rest", [group.rest] if group.rest else []),
                 _lines("Note", [group.note] if group.note else []), _lines("Names", [", ".join(group.names)]))


def _lines(title: str, lines: Iterable[str]) -> RenderableType:
    table = Table.grid(padding=(0, 1))
    table.add_column(width=12)
    table.add_column(overflow="fold")
    for number, line in enumerate(lines):
        table.add_row(Text(title if number == 0 else "", style="dim"), Text(harmless(line)))
    return table


def in_words(base: KnowledgeBase, test: Test, *, ids: bool = False) -> str:
    """A test as a phrase that reads aloud; with ``ids`` the conditions stand under their ids."""
    match test:
        case kb.AllOf(tests):
            return " and ".join(in_words(base, part, ids=ids) for part in tests)
        case kb.AnyOf(tests):
            return "(" + " or ".join(in_words(base, part, ids=ids) for part in tests) + ")"
        case kb.EventTest(event, days, within, happened):
            return f"{'' if happened else 'no '}{event} {'within' if within else 'longer ago than'} {days} days"
        case kb.MeasureTest(request, above, bound):
            window = f"during {request.during}" if request.during else f"over {request.window_days} days"
            limit = f"need {bound.need} {bound.value:+g}" if bound.need else f"{bound.value:g}"
            return f"{request.measure.replace('_', ' ')} {window} {'above' if above else 'below'} {limit}"
        case kb.Atom(kind, values, wanted):
            names = " or ".join(values if ids else (_name(base, kind, value) for value in values))
            return names if wanted else f"not: {names}"


def _name(base: KnowledgeBase, kind: str, value: str) -> str:
    if kind == "condition" and value in base.conditions:
        return base.conditions[value].name.lower()
    if kind == "sign" and value in base.signs:
        return base.signs[value].name.lower()
    if kind == "habit" and value in base.habits:
        return base.habits[value].name.lower()
    return f"{kind} {value.replace('_', ' ')}"
