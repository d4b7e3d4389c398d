"""How honest the stated figures are, on labelled letters: skill above the base rate, and said against so.

Run ``python -m tests.measure.calibration``; ``--write`` also draws tests/measure/reliability.svg. Judged is the cause
that comes first, as a grower reads it: its probability, and whether it is (one of) the right one(s).
"""

from __future__ import annotations

import argparse
import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from diagnose.reason.calibration import Band, bands_of
from diagnose.reason.chances import brier, expected_calibration_error
from diagnose.workbench import CaseRequest, Workbench
from tests.measure.reliability_picture import picture
from tests.measure.scores import DAY, Labelled, development_letters, invented_letters, published_rows

__all__ = ["Forecast", "Honesty", "brier_skill", "cross_validated", "fitted_strength", "forecasts_of", "honesty"]

PICTURE = Path(__file__).parent / "reliability.svg"
EDGES = (0.0, 0.2, 0.4, 0.6, 0.8, 1.0)
DRAWS, SEED, FOLDS = 2000, 1, 5
STRENGTHS = tuple(round(0.2 + 0.05 * step, 2) for step in range(33))  # 0.2 to 1.8
WIDTH = 41  # of the picture in signs

Pairs = Sequence[tuple[float, bool]]


@dataclass(frozen=True, slots=True)
class Forecast:
    """The cause that came first for a text: its probability before any sign and as said, and whether it was so.

    Where nothing was understood, 0 was said and it was not so.
    """

    prior: float
    said: float
    so: bool

    def at(self, strength: float) -> tuple[float, bool]:
        """The forecast if the evidence counted ``strength`` times: log(odds / prior odds) is multiplied by it."""
        if not 0.0 < self.said < 1.0:
            return self.said, self.so
        before = _log_odds(self.prior)
        return 1.0 / (1.0 + math.exp(-(before + strength * (_log_odds(self.said) - before)))), self.so


@dataclass(frozen=True, slots=True)
class Honesty:
    """The figures of a set of texts. Intervals hold 95 of 100 redrawn sets.

    ``error`` is the mean distance of said and so over the bands; ``error_by_chance`` what a perfectly honest teller
    would show on average with so few texts. ``fitted_skill`` is with the evidence counted ``strength`` times, the
    strength fitted on the other folds.
    """

    texts: int
    said: float
    so: float
    skill: float
    skill_interval: tuple[float, float]
    error: float
    error_by_chance: float
    bands: tuple[Band, ...]
    strength: float
    fitted_skill: float


def _log_odds(chance: float) -> float:
    return math.log(chance / (1.0 - chance))


def forecasts_of(bench: Workbench, texts: Sequence[Labelled]) -> Iterator[Forecast]:
    """What comes first for each text, as of one fixed day."""
    for text in texts:
        standing = bench.stand(bench.case(text.text, CaseRequest(date=DAY)))
        first = int(np.argmax(standing.probability))
        said = float(standing.probability[first])
        yield Forecast(float(standing.network.prior[first]), said,
                       said > 0.0 and bench.rulebook.causes[first] in text.causes)


def brier_skill(pairs: Pairs) -> float:
    """1 - Brier score / that of always saying the share that was so; 0 is no better than that, NaN if all are alike."""
    rate = sum(so for _, so in pairs) / len(pairs)
    return 1.0 - brier(pairs) / (rate * (1.0 - rate)) if 0.0 < rate < 1.0 else math.nan


def interval(pairs: Pairs, figure: Callable[[Pairs], float]) -> tuple[float, float]:
    """Where the figure lies in 95 of 100 sets redrawn from this one (Efron 1979)."""
    rng = np.random.default_rng(SEED)
    drawn = [figure([pairs[n] for n in rng.integers(len(pairs), size=len(pairs))]) for _ in range(DRAWS)]
    low, high = np.nanquantile(drawn, (0.025, 0.975))
    return float(low), float(high)


def error_of(pairs: Pairs) -> float:
    """Calibration error over five bands."""
    return expected_calibration_error([(band.count, band.said, band.share) for band in bands_of(pairs, EDGES)])


def error_by_chance(pairs: Pairs) -> float:
    """The mean calibration error if every figure said were exactly right."""
    rng = np.random.default_rng(SEED)
    said = np.array([chance for chance, _ in pairs])
    return float(np.mean([error_of(list(zip(said.tolist(), (rng.random(len(said)) < said).tolist(), strict=True)))
                          for _ in range(DRAWS // 10)]))


def fitted_strength(forecasts: Sequence[Forecast]) -> float:
    """The strength of evidence with the least Brier score; of equals the one nearest 1."""
    return min(STRENGTHS, key=lambda strength: (round(brier([one.at(strength) for one in forecasts]), 9),
                                                abs(strength - 1.0)))


def cross_validated(forecasts: Sequence[Forecast]) -> list[tuple[float, bool]]:
    """Each forecast with the strength fitted on the other folds; every fifth text is a fold."""
    order = np.random.default_rng(SEED).permutation(len(forecasts))
    found = []
    for fold in range(FOLDS):
        others = [forecasts[n] for place, n in enumerate(order) if place % FOLDS != fold]
        strength = fitted_strength(others)
        found += [forecasts[n].at(strength) for n in order[fold::FOLDS]]
    return found


def honesty(forecasts: Sequence[Forecast]) -> Honesty:
    """All figures of a set."""
    pairs = [(one.said, one.so) for one in forecasts]
    return Honesty(
        len(pairs), sum(said for said, _ in pairs) / len(pairs), sum(so for _, so in pairs) / len(pairs),
        brier_skill(pairs), interval(pairs, brier_skill), error_of(pairs), error_by_chance(pairs),
        bands_of(pairs, EDGES), fitted_strength(forecasts), brier_skill(cross_validated(forecasts)))


def report(title: str, found: Honesty) -> str:
    """The figures, then the bands, each with a picture: its interval, ``o`` for so and ``x`` for said."""
    low, high = found.skill_interval
    lines = [f"{title}: {found.texts} texts, said of the first {found.said:.2f}, so {found.so:.2f}",
             f"  Brier skill {found.skill:+.2f} ({low:+.2f} to {high:+.2f}), calibration error {found.error:.3f} "
             f"(an honest teller by chance {found.error_by_chance:.3f})",
             f"  evidence counted {found.strength:.2f} times fits best; fitted on four folds, scored on the fifth: "
             f"skill {found.fitted_skill:+.2f}",
             f"  {'stated':9} {'said':>5} {'so':>5} {'count':>5}  {'95 %':11}  0{'':{WIDTH - 2}}1"]
    for band in found.bands:
        lines.append(f"  {band.from_:.1f}-{band.to:.1f}   {band.said:5.2f} {band.share:5.2f} {band.count:5}  "
                     f"{band.interval[0]:.2f}-{band.interval[1]:.2f}    {_drawn(band)}")
    return "\n".join(lines)


def _drawn(band: Band) -> str:
    def place(chance: float) -> int:
        return round(chance * (WIDTH - 1))

    line = [" "] * WIDTH
    for column in range(place(band.interval[0]), place(band.interval[1]) + 1):
        line[column] = "-"
    line[place(band.share)] = "o"
    line[place(band.said)] = "x" if place(band.said) != place(band.share) else "8"
    return "".join(line).rstrip()


def main() -> None:
    """Measure and print, and draw if asked to."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--write", action="store_true", help=f"draw {PICTURE.name}")
    options = parser.parse_args()
    bench = Workbench.open()
    held_back = [letter for file in ("letters_invented", "letters_second", "letters_third")
                 for letter in invented_letters("hold", file)]
    sets = {"development letters": development_letters(), "invented letters, held back": held_back,
            "published rows": published_rows()}
    found = {title: honesty(list(forecasts_of(bench, texts))) for title, texts in sets.items()}
    print("\n\n".join(report(title, one) for title, one in found.items()))
    print("\no so, x said, 8 both, --- the 95 % interval (Wilson) of how often it was so")
    if options.write:
        PICTURE.write_text(picture({title: one.bands for title, one in found.items()}), encoding="utf-8")


if __name__ == "__main__":
    main()
