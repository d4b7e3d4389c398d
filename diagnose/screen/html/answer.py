"""The answer on the page: what it probably is and what to do, each reason with its source, and what else it may be."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from diagnose.model.knowledge import KnowledgeBase
from diagnose.model.result import CauseFound, Evidence, Result
from diagnose.screen.card import URGENCY, VERDICTS, leading, percent, strength
from diagnose.screen.html.tables import folded, table
from diagnose.screen.knowledge_words import cited
from diagnose.screen.page import Markup, joined, listed, tag

__all__ = ["answer", "headline", "others", "sources", "standing_words", "to_ask"]

_TONES = {"today": "today", "this week": "week"}
_SIDES = (("Why", "for_"), ("What speaks against it", "against"))


def headline(result: Result) -> str:
    """What it probably is, in a few words."""
    if not result.causes:
        return "No cause is named"
    names = " and ".join(_joinable(cause.name, number) for number, cause in enumerate(leading(result)))
    if result.verdict == "nothing_fits":
        return "Nothing on the list fits well"
    return names if result.verdict == "decided" else f"Perhaps: {names}"


def _joinable(name: str, number: int) -> str:
    return name if number == 0 else name[:1].lower() + name[1:]


def answer(base: KnowledgeBase, result: Result) -> Iterator[Markup]:
    """The leading causes in full, with what the figures leave open."""
    remarks = [VERDICTS[result.verdict]] if VERDICTS[result.verdict] else []
    if not result.causes:
        remarks = ["No sign of trouble was understood, so no cause is named."]
    if result.approximate:
        remarks.append("The figures are approximate: very many signs were given.")
    left = [base.signs[sign].name.lower() for sign in result.unexplained if sign in base.signs]
    if left:
        remarks.append(f"Not explained by it: {', '.join(left)}.")
    yield from (tag("p", remark, class_="remark") for remark in remarks)
    first = leading(result) if result.causes else []
    for cause in first:
        heading = [tag("h2", cause.name)] if len(first) > 1 or result.verdict != "decided" else []
        yield tag("section", *heading, *_cause(base, cause))


def standing_words(cause: CauseFound) -> Markup:
    """How likely a cause is, how soon something must be done, whether it spreads."""
    parts: list[Markup | str] = [tag("b", f"{cause.grade}, {percent(cause.probability)}"), " · ",
                                 tag("span", URGENCY[cause.urgency], class_=_TONES.get(cause.urgency, ""))]
    parts += [" · ", tag("b", "spreads to other plants")] if cause.spreads else []
    return tag("p", *parts, class_="standing")


def _cause(base: KnowledgeBase, cause: CauseFound) -> Iterator[Markup]:
    yield standing_words(cause)
    if cause.also_called:
        yield tag("p", f"Also called {', '.join(cause.also_called)}.", class_="soft")
    deeds = [*_part("Do", cause.do, "do", steps=True), *_part("Do not", cause.do_not, "not")]
    yield tag("div", *deeds, class_="pair") if len(deeds) == 2 else joined(deeds)
    yield from _part("Take care", cause.cautions, "care")
    yield from _part("To settle it", cause.settle, "plain")
    if cause.expect:
        yield tag("section", tag("h3", "What to expect"), tag("p", cause.expect), class_="plain")
    for title, side in _SIDES:
        found: Sequence[Evidence] = getattr(cause, side)
        if found:
            yield tag("section", tag("h3", title), table(("finding", "because", "how much", "source"),
                                                         [_reason(base, each) for each in found]), class_="plain")


def _part(title: str, lines: Iterable[str], look: str, *, steps: bool = False) -> list[Markup]:
    found = list(lines)
    return [tag("section", tag("h3", title), listed(found, steps=steps), class_=look)] if found else []


def _reason(base: KnowledgeBase, evidence: Evidence) -> tuple[Markup | str, ...]:
    shown = joined([tag("b", evidence.finding), tag("span", f"from the {evidence.from_}", class_="soft line")])
    size = joined([strength(evidence.decibans), tag("span", f"{evidence.decibans:+.1f} dB", class_="soft line")])
    return shown, evidence.because, size, evidence.source


def others(base: KnowledgeBase, result: Result) -> Iterator[Markup]:
    """Every other cause with how likely it is; its reasons and advice open on a click."""
    rest = [cause for cause in result.causes if cause not in leading(result)] if result.causes else []
    if not rest:
        return
    yield tag("h2", "What else it may be")
    for cause in rest:
        bar = tag("span", tag("span", style=f"width:{max(cause.probability, 0.01):.0%}"), class_="share",
                  aria_hidden="true")
        head = tag("summary", tag("b", cause.name), f" {cause.grade}, {percent(cause.probability)} ", bar)
        yield tag("details", head, *_cause(base, cause))
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
