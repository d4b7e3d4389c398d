"""The second pass: suspicions go back into the rules, and the advice that fits this case comes out."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from diagnose.frozen import frozen
from diagnose.model.facts import Case, Measure
from diagnose.model.figures import in_figures
from diagnose.model.knowledge import Advice, Group
from diagnose.reason.rulebook import Rulebook
from diagnose.reason.standing import Standing

__all__ = ["AdviceFound", "advise", "figures_of", "filled"]

_PLACEHOLDER = re.compile(r"\{([a-z_0-9.]+)\}")


@frozen
class AdviceFound:
    """What to do and what not to do about one cause, in order."""

    do: tuple[str, ...]
    do_not: tuple[str, ...]


def advise(rulebook: Rulebook, standing: Standing, suspected: Iterable[str]) -> Mapping[str, AdviceFound]:
    """Advice for each suspected cause, filled with this case's own figures."""
    causes = tuple(suspected)
    symbols = {symbol: fact.certainty for symbol, fact in standing.known.items()}
    symbols |= {firing.gives: firing.certainty for firing in standing.firings if firing.gives}
    symbols |= {f"suspected={cause}": 1.0 for cause in causes}
    fired: dict[str, list[Advice]] = {cause: [] for cause in causes}
    for firing in rulebook.advice_chainer.run(symbols):
        fired[firing.rule.partition("/")[0]].append(rulebook.advice[firing.rule])
    figures = figures_of(standing.case, standing.group)
    return {cause: _of_cause(rules, figures) for cause, rules in fired.items()}


def _of_cause(rules: list[Advice], figures: Mapping[str, str]) -> AdviceFound:
    now = [filled(rule.text, rule.otherwise, figures) for rule in rules if rule.part == "now"]
    later = [filled(rule.text, rule.otherwise, figures) for rule in rules if rule.part == "later"]
    never = [filled(rule.text, rule.otherwise, figures) for rule in rules if rule.part == "never"]
    return AdviceFound(tuple(text for text in now + later if text), tuple(text for text in never if text))


def filled(text: str, otherwise: str, figures: Mapping[str, str]) -> str:
    """The text with its figures, or the other text where one of them is unknown; empty where both lack one."""
    for choice in (text, otherwise):
        if "{" not in choice:
            return choice
        if all(name in figures for name in _PLACEHOLDER.findall(choice)):
            return _PLACEHOLDER.sub(lambda match: figures[match[1]], choice)
    return ""


def figures_of(case: Case, group: Group | None) -> dict[str, str]:
    """The figures that a text may hold, by name: the case's measures and, as ``need.NAME``, what the group needs."""
    best: dict[str, Measure] = {}
    for measure in sorted(case.measures, key=lambda m: (m.certainty, m.ended_days_ago == 0, m.window_days == 30)):
        best[measure.measure] = measure
    figures = {name: in_figures(measure.value) for name, measure in best.items()}
    if group:
        figures |= {f"need.{need}": f"{entry.value:g}" for need, entry in group.needs.items()}
    return figures
