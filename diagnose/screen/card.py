"""The card: what it probably is, why, what to do and what not to do, on one screen."""

from __future__ import annotations

from collections.abc import Iterable

from rich.console import Console, Group, RenderableType
from rich.padding import Padding
from rich.rule import Rule
from rich.table import Table
from rich.text import Text

from diagnose.model.result import CauseFound, Evidence, Result, ResultMeasure, ResultSign, Understood
from diagnose.screen.harmless import harmless, shortened

__all__ = ["URGENCY", "VERDICTS", "bulleted", "card", "leading", "percent", "show", "strength"]

MOST_REASONS = 4
MOST_ADVICE = 5
MOST_OTHERS = 4
SMALL, SOME, STRONG = 5.0, 10.0, 15.0  # decibans, after the grades of Jeffreys (1961), Theory of Probability

URGENCY = {"today": "act today", "this week": "act this week", "soon": "no hurry, but see to it",
           "none": "nothing urgent"}
VERDICTS = {"decided": "", "ask": "More must be known to be sure.",
            "nothing_fits": "None of the causes on the list accounts well for what was seen."}


def show(console: Console, result: Result, *pictures: RenderableType) -> None:
    """Print the card of a result, with pictures of its records before the end."""
    console.print(card(result, *pictures))


def card(result: Result, *pictures: RenderableType) -> RenderableType:
    """The card of a result."""
    parts: list[RenderableType] = [_understood(result.understood)]
    if not result.causes:
        parts.append(_no_cause(result))
        return Group(*parts)
    first = leading(result)
    for cause in first:
        parts.append(_cause(cause))
    parts.append(_others([cause for cause in result.causes if cause not in first]))
    parts += pictures
    parts.append(_ending(result))
    return Group(*parts)


def leading(result: Result) -> list[CauseFound]:
    """The likeliest cause, and the others of the best explanation where it takes more than one."""
    rest = [cause for cause in result.causes[1:] if cause.cause in result.best_explanation
            and cause.probability >= 0.3 and result.causes[0].cause in result.best_explanation]
    return [result.causes[0], *rest[:1]]


def _no_cause(result: Result) -> RenderableType:
    text = Text("\nNo sign of trouble was understood, so no cause is named.", style="bold")
    return Group(text, _ending(result))


def _plain(measure: ResultMeasure) -> str:
    """The name of a measure in words, without its unit and without saying that it was told."""
    return measure.quantity.removesuffix("_told").removesuffix(f"_{measure.unit}").replace("_", " ")


def _understood(understood: Understood) -> RenderableType:
    table = Table.grid(padding=(0, 1))
    table.add_column(width=13)
    table.add_column(overflow="fold")
    for state, label in (("present", "Seen"), ("unsure", "Unsure"), ("absent", "Not there")):
        texts = _by_quote([sign for sign in understood.signs if sign.state == state])
        if texts:
            table.add_row(Text(label, style="dim"), Text("; ".join(texts[:6]) + (" …" if len(texts) > 6 else "")))
    kinds = (understood.plant.group, understood.plant.stage, understood.plant.medium)
    plant = [text.replace("_", " ") for text in kinds if text and text != "unknown"]
    if plant:
        table.add_row(Text("Plant", style="dim"), Text(", ".join(plant)))
    figures = [f"{_plain(m)} {m.value:g} {m.unit}" + (f" ({m.guess})" if m.guess else "")
               for m in {m.quote: m for m in reversed(understood.measures)}.values()]  # twins of one remark once
    if figures:
        table.add_row(Text("Told", style="dim"), Text(harmless("; ".join(figures))))
    for other in understood.other_plants:
        table.add_row(Text("Other plant", style="dim"), Text(shortened(other.quote or other.group, 120)))
    if understood.not_understood:
        left = "; ".join(f'"{shortened(text, 60)}"' for text in understood.not_understood[:4])
        more = f" and {len(understood.not_understood) - 4} more" if len(understood.not_understood) > 4 else ""
        table.add_row(Text("Not read", style="dim"), Text(left + more, style="dim"))
    return table


def _by_quote(signs: list[ResultSign]) -> list[str]:
    """The signs with the words they were read from; signs from the same words stand together."""
    names: dict[str, list[str]] = {}
    for sign in signs:
        names.setdefault(sign.quote or sign.name, []).append(sign.name.lower())
    return [_told(found, quote) for quote, found in names.items()]


def _told(names: list[str], quote: str) -> str:
    shown = ", ".join(names[:3]) + (f" and {len(names) - 3} more" if len(names) > 3 else "")
    words = shortened(quote, 40)
    return f'{shown} ("{words}")' if words.lower() not in names else shown


def _cause(cause: CauseFound) -> RenderableType:
    heading = Text.assemble("\n", (cause.name, "bold"), f"   {cause.grade}, {percent(cause.probability)}",
                            (f"   {URGENCY[cause.urgency]}", "bold" if cause.urgency == "today" else ""))
    if cause.spreads:
        heading.append("   spreads to other plants", style="bold")
    blocks: list[RenderableType] = [heading]
    blocks += _section("Why", [_reason(evidence) for evidence in cause.for_[:MOST_REASONS]])
    blocks += _section("Against", [_reason(evidence) for evidence in cause.against[:2]])
    blocks += _section("To settle it", cause.settle[:1])
    blocks += _section("Do", cause.do[:MOST_ADVICE])
    blocks += _section("Do not", cause.do_not[:3])
    blocks += _section("Expect", [cause.expect] if cause.expect else [])
    blocks += _section("Take care", cause.cautions)
    return Group(*blocks)


def _section(title: str, lines: Iterable[str]) -> list[RenderableType]:
    found = list(lines)
    return [bulleted(title, found)] if found else []


def bulleted(title: str, lines: Iterable[str]) -> RenderableType:
    """Lines with a dash each, the title, if any, in a column of its own."""
    table = Table.grid(padding=(0, 1))
    if title:
        table.add_column(width=13)
    table.add_column(width=1)
    table.add_column(overflow="fold")
    for number, line in enumerate(lines):
        cells: list[RenderableType] = [Text("-"), Text(harmless(line))]
        table.add_row(*([Text("" if number else title, style="dim")] if title else []), *cells)
    return table


def _reason(evidence: Evidence) -> str:
    return f"{evidence.finding} [{strength(evidence.decibans)}, from the {evidence.from_}]: {evidence.because}"


def strength(decibans: float) -> str:
    """The word for so many decibans, for or against."""
    size = abs(decibans)
    return "weak" if size < SMALL else "fair" if size < SOME else "strong" if size < STRONG else "very strong"


def percent(probability: float) -> str:
    """A probability as a percentage that never claims certainty."""
    return "over 99 %" if probability > 0.99 else "under 1 %" if probability < 0.01 else f"{probability * 100:.0f} %"


def _others(causes: list[CauseFound]) -> RenderableType:
    lines = [f"{cause.name}: {cause.grade}, {percent(cause.probability)}" for cause in causes[:MOST_OTHERS]]
    return Padding(Group(*_section("Also possible", lines)), (1, 0, 0, 0)) if lines else Text("")


def _ending(result: Result) -> RenderableType:
    blocks: list[RenderableType] = []
    remark = VERDICTS[result.verdict]
    if remark:
        blocks.append(Text(remark))
    asked = [f"{question.question} ({question.effort})" for question in result.ask_next]
    blocks += _section("Would help", asked if result.verdict != "decided" else asked[:1])
    if result.approximate:
        blocks.append(Text("The figures are approximate: very many signs were given.", style="dim"))
    if result.records and result.records.notes:
        blocks += _section("Records", [shortened(note, 160) for note in result.records.notes[:4]])
    blocks.append(Rule(style="dim"))
    return Group(*blocks)
