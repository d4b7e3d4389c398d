"""The second pass: suspicions go back into the rules, and the advice that fits this case comes out."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from diagnose.model.facts import Case, Measure
from diagnose.model.knowledge import Advice, Group
from diagnose.reason.rulebook import Rulebook
from diagnose.reason.standing import Standing

__all__ = ["AdviceFound", "advise"]

_PLACEHOLDER = re.compile(r"\{([a-z_0-9.]+)\}")


@dataclass(frozen=True, slots=True)
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
    figures = _figures(standing.case, standing.group)
    return {cause: _of_cause(rules, figures) for cause, rules in fired.items()}


def _of_cause(rules: list[Advice], figures: Mapping[str, str]) -> AdviceFound:
    now = [_filled(rule, figures) for rule in rules if rule.part == "now"]
    later = [_filled(rule, figures) for rule in rules if rule.part == "later"]
    never = [_filled(rule, figures) for rule in rules if rule.part == "never"]
    return AdviceFound(tuple(text for text in now + later if text), tuple(text for text in never if text))


def _filled(rule: Advice, figures: Mapping[str, str]) -> str:
    """The text with its measures, or the other text where one of them is unknown."""
    if all(name in figures for name in _PLACEHOLDER.findall(rule.text)):
        return _PLACEHOLDER.sub(lambda match: figures[match[1]], rule.text)
    return rule.otherwise


def _figures(case: Case, group: Group | None) -> dict[str, str]:
    best: dict[str, Measure] = {}
    for measure in sorted(case.measures, key=lambda m: (m.certainty, m.ended_days_ago == 0, m.window_days == 30)):
        best[measure.measure] = measure
    figures = {name: f"{measure.value:.3g}" for name, measure in best.items()}
    if group:
        figures |= {f"need.{need}": f"{entry.value:g}" for need, entry in group.needs.items()}
    return figures
