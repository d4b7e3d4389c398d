"""What the core must reach on the outside sets, and what other methods reached on the same material.

The bars were set beforehand, a little under what naive Bayes restricted to five words reached on the same folds.
Other methods: Weka 3.6.14 as packed in Debian (ten folds, five seeds) and scikit-learn 1.9.1 (the same) on the soybean
set; for the pathfinder network the posterior of the network itself and naive Bayes with its exact shares.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

__all__ = ["BARS", "Bar"]


@dataclass(frozen=True, slots=True)
class Bar:
    """A figure (its name has a place for how the core knows: words, departures, numbers) and what it must be.

    ``elsewhere`` says what others reached. Shares are shown in percent, everything else as it is.
    """

    figure: str
    what: str
    limit: float
    at_least: bool = True
    share: bool = True
    elsewhere: str = ""

    def value(self, figures: Mapping[str, float], way: str = "words") -> float | None:
        """The figure, None where it was not measured."""
        return figures.get(self.figure.format(way))

    def met(self, figures: Mapping[str, float]) -> bool:
        """Whether the core with words reaches the bar."""
        value = self.value(figures)
        return value is not None and (value >= self.limit if self.at_least else value <= self.limit)

    def shown(self, value: float | None) -> str:
        """A figure as text."""
        if value is None:
            return ""
        return f"{100 * value:.1f} %" if self.share else f"{value:.2f}" if value >= 1 else f"{value:.3f}"

    @property
    def line(self) -> str:
        """The bar as text."""
        return f"{'≥' if self.at_least else '≤'} {self.shown(self.limit)}"


BARS: tuple[Bar, ...] = (
    Bar("soybean/all/{}/first", "soybean, all answers: right cause first", 0.915,
        elsewhere="naive Bayes 93.0, tree 91.3, rules 92.0 (Weka); gradient boosting 94.2 (scikit-learn)"),
    Bar("soybean/all/{}/among three", "soybean, all answers: right cause among three", 0.975,
        elsewhere="naive Bayes 98.3, gradient boosting 99.9 (scikit-learn)"),
    Bar("soybean/all/{}/log loss", "soybean, all answers: log-loss (nats)", 0.30, at_least=False, share=False,
        elsewhere="naive Bayes .375, gradient boosting .242 (scikit-learn)"),
    Bar("soybean/all/{}/calibration error", "soybean, all answers: calibration error", 0.04, at_least=False,
        share=False,
        elsewhere="naive Bayes .045, gradient boosting .045 (scikit-learn)"),
    Bar("soybean/all/{}/first in group", "soybean, all answers: first, with four leaf spots taken for one", 0.98),
    Bar("soybean/all with slips/{}/first", "soybean, all answers, 5 % of them wrong: right cause first", 0.87),
    Bar("soybean/five/{}/first", "soybean, five questions: right cause first", 0.84,
        elsewhere="best fixed order of questions 76.8"),
    Bar("soybean/five/{}/among three", "soybean, five questions: right cause among three", 0.94),
    Bar("soybean/five/{}/ahead of chance", "soybean, five questions: first, ahead of an order of chance", 0.35),
    Bar("soybean/stop/{}/mean questions", "soybean, stop at 0.9: mean questions, at most 12", 6.0, at_least=False,
        share=False, elsewhere="a tree asks 5.9 for 92.4 % right (scikit-learn)"),
    Bar("soybean/stop/{}/right when decided", "soybean, stop at 0.9: right when decided", 0.95),
    Bar("soybean/stop/{}/decided", "soybean, stop at 0.9: decided", 0.85),
    Bar("soybean/stop with slips/{}/right when decided",
        "soybean, stop at 0.9, 5 % of the answers wrong: right when decided", 0.93),
    Bar("pathfinder/all/{}/first", "pathfinder, all findings: right cause first", 0.915,
        elsewhere="the network itself 99.4, naive Bayes with its exact shares 97.1"),
    Bar("pathfinder/all/{}/calibration error", "pathfinder, all findings: calibration error", 0.035, at_least=False,
        share=False,
        elsewhere="the network itself .005, naive Bayes .021"),
    Bar("pathfinder/eight/{}/first", "pathfinder, eight questions: right cause first", 0.90,
        elsewhere="naive Bayes with exact shares 95.5"),
)
