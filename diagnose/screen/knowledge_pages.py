"""Readable pages of the rule base: one cause, rule, sign, condition, group, caution or source on one screen."""

from __future__ import annotations

import re
from collections.abc import Iterable

from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text

from diagnose.model import knowledge as kb
from diagnose.model.knowledge import Cause, KnowledgeBase
from diagnose.screen.harmless import harmless
from diagnose.screen.knowledge_words import Footnotes, cited, in_words, strength_of

__all__ = ["page"]

_FIGURE = re.compile(r"\{[a-z_0-9.]+\}")


def page(base: KnowledgeBase, name: str) -> RenderableType | None:
    """The page of whatever has this id; None where nothing has it."""
    cause = base.causes.get(name.partition("/")[0])
    if cause and "/" in name:
        rule = next((rule for rule in cause.rules if rule.rule == name), None)
        return _rule(base, cause, rule) if rule else None
    if cause:
        return _cause(base, cause)
    if name in base.signs:
        return _sign(base, base.signs[name])
    if name in base.conditions:
        return _condition(base, base.conditions[name])
    if name in base.groups:
        return _group(base, base.groups[name])
    if name in base.cautions:
        return Group(_title(name, name), _lines("", [base.cautions[name].text]),
                     _lines("Sources", [cited(base, source) for source in base.cautions[name].sources]))
    return _lines("Source", [cited(base, name)]) if name in base.sources else None


def _title(name: str, identifier: str) -> Text:
    return Text(f"{name}  [{identifier}]" if name != identifier else name, style="bold")


def _cause(base: KnowledgeBase, cause: Cause) -> RenderableType:
    spread = f"spreads: {cause.spreads}" if cause.spreads else "does not spread"
    notes = Footnotes()
    body = (
        _lines("Shows", _shows(base, cause, notes)),
        _lines("Odds", _odds(base, cause, notes)),
        _lines("Look-alikes", [f"{base.causes[other.cause].name}: {other.tell_apart}" for other in cause.look_alikes
                               if other.cause in base.causes]),
        _lines("Settled by", [f"{check.check} {notes.mark(check.claim)}" for check in cause.settle]),
        _lines("Advice", [_advice(base, rule, notes) for rule in cause.advice]),
        _lines("Recovers", [f"{cause.recovers} Look again after {cause.look_again_days} days."]),
        _lines("Cautions", [", ".join(cause.cautions)] if cause.cautions else []),
    )
    sources = [f"{number} {cited(base, source, link=False)}" for source, number in notes.listed().items()]
    facts = f"{cause.kind}, {cause.how_common}, urgency: {cause.urgency}, {spread}"
    return Group(_title(cause.name, cause.id), Text(", ".join(cause.also_called), style="dim"), Text(facts),
                 Text(cause.story), *body, _lines("Sources", [*sources, "cp common practice"]))


def _shows(base: KnowledgeBase, cause: Cause, notes: Footnotes) -> list[str]:
    """The signs in one line for each frequency, most frequent first."""
    found: dict[str, list[str]] = {word: [] for word in base.scales.how_often}
    for rule in cause.shows:
        context = f" (where {in_words(base, rule.when)})" if rule.when.tests else ""
        found[rule.how_often].append(f"{base.signs[rule.sign].name}{context} {notes.mark(rule.claim)}")
    return [f"{word}: {'; '.join(signs)}" for word, signs in found.items() if signs]


def _odds(base: KnowledgeBase, cause: Cause, notes: Footnotes) -> list[str]:
    """The circumstances in one line for each strength, in the order of the file."""
    found: dict[str, list[str]] = {}
    for shift in cause.shifts:
        found.setdefault(strength_of(base, shift), []).append(f"{in_words(base, shift.when)} {notes.mark(shift.claim)}")
    return [f"{strength}: {'; '.join(contexts)}" for strength, contexts in found.items()]


def _advice(base: KnowledgeBase, rule: kb.Advice, notes: Footnotes) -> str:
    context = f" (where {in_words(base, rule.when)})" if rule.when.tests else ""
    return f"{rule.part}: {_FIGURE.sub('…', rule.text)}{context} {notes.mark(rule.claim)}"


def _rule(base: KnowledgeBase, cause: Cause, rule: kb.Shows | kb.Shift | kb.Advice) -> RenderableType:
    match rule:
        case kb.Shows():
            said = f"{rule.how_often}: {base.signs[rule.sign].name}"
        case kb.Shift():
            said = strength_of(base, rule)
        case kb.Advice():
            said = f"{rule.part}: {rule.text}"
    return Group(_title(cause.name, rule.rule), Text(said),
                 _lines("Where", [in_words(base, rule.when)] if rule.when.tests else []),
                 _lines("Why", [rule.claim.why] if rule.claim.why else []),
                 _lines("Sources", [cited(base, source) for source in rule.claim.sources]),
                 _lines("Written in", [str(rule.claim.where)]))


def _sign(base: KnowledgeBase, sign: kb.Sign) -> RenderableType:
    question = base.question_of(sign.id)
    shown_by = [f"{rule.how_often}: {cause.name}" for word in base.scales.how_often for cause in base.causes.values()
                for rule in cause.shows if rule.sign == sign.id and rule.how_often == word]
    asked = [f"{question.ask} ({question.effort})", *(answer.say for answer in question.answers)] if question else []
    return Group(_title(sign.name, sign.id), Text(sign.meaning),
                 _lines("Asked as", asked), _lines("Shown by", shown_by), _lines("Words", [", ".join(sign.words)]))


def _condition(base: KnowledgeBase, condition: kb.Condition) -> RenderableType:
    used = [f"{cause.name}: {strength_of(base, shift)}" for cause in base.causes.values() for shift in cause.shifts
            if condition.id in in_words(base, shift.when, ids=True)]
    ways = condition.when.tests if isinstance(condition.when, kb.AnyOf) else (condition.when,)
    return Group(_title(condition.name, condition.id), Text(condition.claim.why),
                 _lines("Holds where", [in_words(base, way) for way in ways]), _lines("Moves", used),
                 _lines("Sources", [cited(base, source) for source in condition.claim.sources]))


def _group(base: KnowledgeBase, group: kb.Group) -> RenderableType:
    needs = [f"{need}: {entry.value:g} [{', '.join(entry.sources)}]" for need, entry in group.needs.items()]
    return Group(_title(group.name, group.id), Text(", ".join(group.traits)),
                 _lines("Needs", needs), _lines("Rest", [group.rest] if group.rest else []),
                 _lines("Note", [group.note] if group.note else []), _lines("Names", [", ".join(group.names)]))


def _lines(title: str, lines: Iterable[str]) -> RenderableType:
    table = Table.grid(padding=(0, 1))
    table.add_column(width=11)
    table.add_column(overflow="fold")
    for number, line in enumerate(lines):
        table.add_row(Text(title if number == 0 else "", style="dim"), Text(harmless(line)))
    return table
