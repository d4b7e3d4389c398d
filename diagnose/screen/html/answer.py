"""The answer on the page: what it probably is and what to do, each reason with its source, and what else it may be."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from diagnose.model.knowledge import KnowledgeBase
from diagnose.model.result import CauseFound, Evidence, Result
from diagnose.screen.card import URGENCY, VERDICTS, leading, percent, strength
from diagnose.screen.html.tables import folded, table
from diagnose.screen.knowledge_words import cited
from diagnose.screen.page import Markup, joined, listed, tag

__all__ = ["answer", "headline", "others", "sources", "to_ask"]

_SURE = ("very likely", "likely")
_TONES = {"today": "today", "this week": "week"}


def headline(result: Result) -> str:
    """What it probably is, in a few words."""
    if not result.causes:
        return "No cause is named"
    if result.verdict == "nothing_fits":
        return "Nothing on the list fits well"
    first = leading(result)
    names = " and ".join(cause.name if cause is first[0] else cause.name[:1].lower() + cause.name[1:]
                         for cause in first)
    return names if first[0].grade in _SURE or result.verdict == "decided" else f"Perhaps: {names}"


def answer(base: KnowledgeBase, result: Result) -> Iterator[Markup]:
    """The leading causes in full, with what the figures leave open."""
    first = leading(result) if result.causes else []
    alone = len(first) == 1 and result.verdict != "nothing_fits"  # then the page is headed by its name
    if alone:
        yield from _standing(first[0])
    yield from (tag("p", remark, class_="remark") for remark in _remarks(base, result))
    for cause in first:
        head = [tag("h2", "What to do, and why")] if alone else [tag("h2", cause.name), *_standing(cause)]
        yield tag("section", *head, *_advice(cause), *_reasons(cause))


def _remarks(base: KnowledgeBase, result: Result) -> Iterator[str]:
    if not result.causes:
        yield "No sign of trouble was understood, so no cause is named."
    elif VERDICTS[result.verdict]:
        yield VERDICTS[result.verdict]
    if result.approximate:
        yield "The figures are approximate: very many signs were given."
    left = [base.signs[sign].name.lower() for sign in result.unexplained if sign in base.signs]
    if left:
        yield f"Not explained by it: {', '.join(left)}."


def _standing(cause: CauseFound) -> Iterator[Markup]:
    """How likely a cause is, how soon something must be done, whether it spreads, and what else it is called."""
    parts: list[Markup | str] = [tag("b", f"{cause.grade}, {percent(cause.probability)}"), " · ",
                                 tag("span", URGENCY[cause.urgency], class_=_TONES.get(cause.urgency, ""))]
    parts += [" · ", tag("b", "spreads to other plants")] if cause.spreads else []
    yield tag("p", *parts, class_="standing")
    if cause.also_called:
        yield tag("p", f"Also called {', '.join(cause.also_called)}.", class_="soft")


def _advice(cause: CauseFound) -> Iterator[Markup]:
    deeds = [*_part("Do", cause.do, "do", steps=True), *_part("Do not", cause.do_not, "not")]
    yield tag("div", *deeds, class_="pair") if len(deeds) == 2 else joined(deeds)
    yield from _part("Take care", cause.cautions, "care")
    yield from _part("To settle it", cause.settle, "plain")
    if cause.expect:
        yield tag("section", tag("h3", "What to expect"), tag("p", cause.expect), class_="plain")


def _reasons(cause: CauseFound) -> Iterator[Markup]:
    for title, found in (("Why", cause.for_), ("What speaks against it", cause.against)):
        if found:
            rows = [_reason(each) for each in found]
            yield tag("section", tag("h3", title), table(("finding", "because", "how much", "source"), rows),
                      class_="plain")


def _part(title: str, lines: Iterable[str], look: str, *, steps: bool = False) -> list[Markup]:
    found = list(lines)
    return [tag("section", tag("h3", title), listed(found, steps=steps), class_=look)] if found else []


def _reason(evidence: Evidence) -> tuple[Markup | str, ...]:
    shown = joined([tag("b", evidence.finding), " ", tag("span", f"from the {evidence.from_}", class_="soft line")])
    size = joined([strength(evidence.decibans), " ", tag("span", f"{evidence.decibans:+.1f} dB", class_="soft line")])
    return shown, evidence.because, size, evidence.source


def others(result: Result) -> Iterator[Markup]:
    """Every other cause with how likely it is; its reasons and advice open on a click."""
    rest = [cause for cause in result.causes if cause not in leading(result)] if result.causes else []
    if not rest:
        return
    yield tag("h2", "What else it may be")
    for cause in rest:
        bar = tag("span", tag("span", style=f"width:{max(cause.probability, 0.01):.0%}"), class_="share",
                  aria_hidden="true")
        head = tag("summary", bar, " ", tag("b", cause.name), f" {cause.grade}, {percent(cause.probability)}")
        yield tag("details", head, *_standing(cause), *_advice(cause), *_reasons(cause))
    yield tag("p", f"None of the causes on the list: {percent(result.nothing_fits)}. Causes can hold together, so the "
              "figures do not add up to 100 %.", class_="soft")


def to_ask(result: Result) -> Iterator[Markup]:
    """What would help to know."""
    if result.ask_next:
        yield tag("h2", "What would help to know")
        yield listed(joined([question.question, " ", tag("span", f"({question.effort})", class_="soft")])
                     for question in result.ask_next)


def sources(base: KnowledgeBase, result: Result) -> Iterator[Markup]:
    """Every source that the reasons name."""
    named = {source for cause in result.causes for evidence in (*cause.for_, *cause.against)
             for source in evidence.source.split(", ") if source in base.sources}
    if named:
        yield folded(f"Sources of the reasons ({len(named)})", listed(cited(base, source) for source in sorted(named)))
