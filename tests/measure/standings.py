"""Where every known case stands: the first causes with their probabilities, so that a change of a rule shows in review.

``python -m tests.measure.standings`` writes tests/standings.txt (worked examples, published rows and statements, all as
facts) and tests/standings_letters.txt (the development letters through the reader). Look at the difference before you
keep it: every line that changed is a case that now comes out otherwise.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path

from diagnose.reason.examples import case_of
from diagnose.reason.rulebook import Rulebook
from diagnose.reason.standing import Standing, stand
from diagnose.workbench import Workbench
from tests.measure.scores import answer_all, development_letters
from tests.measure.told import Told, published_rows_told, statements_told

__all__ = ["FACTS", "LETTERS", "standings_of_facts", "standings_of_letters"]

FACTS = Path(__file__).parent.parent / "standings.txt"
LETTERS = Path(__file__).parent.parent / "standings_letters.txt"
HEAD = "# Written by: python -m tests.measure.standings. What should be, then the first three causes that there are.\n"
SHOWN, LEAST = 3, 0.005


def standings_of_facts(rulebook: Rulebook) -> str:
    """One line for each worked example, published row and statement."""
    return HEAD + "".join(f"{line}\n" for line in (*_examples(rulebook), *_told(rulebook, "row", published_rows_told()),
                                                   *_told(rulebook, "statement", statements_told())))


def standings_of_letters(bench: Workbench) -> str:
    """One line for each development letter."""
    lines = []
    for entry in answer_all(bench, development_letters()):
        chances = [(cause.cause, cause.probability) for cause in entry.result.causes]
        lines.append(_line(entry.labelled.id, "/".join(entry.labelled.causes), chances))
    return HEAD + "".join(f"{line}\n" for line in lines)


def _examples(rulebook: Rulebook) -> Iterator[str]:
    for cause in rulebook.base.causes.values():
        for number, example in enumerate(cause.examples, 1):
            aim = f"below {example.loses_to}" if example.loses_to else cause.id
            standing = stand(rulebook, case_of(example), example.conditions)
            yield _line(f"example {cause.id}/{number}", aim, _chances(rulebook, standing))


def _told(rulebook: Rulebook, kind: str, told: Iterable[Told]) -> Iterator[str]:
    for entry in told:
        yield _line(f"{kind} {entry.id}", "/".join(entry.causes), _chances(rulebook, entry.stand(rulebook)))


def _chances(rulebook: Rulebook, standing: Standing) -> Iterator[tuple[str, float]]:
    return zip(rulebook.causes, (float(chance) for chance in standing.probability), strict=True)


def _line(name: str, aim: str, chances: Iterable[tuple[str, float]]) -> str:
    """Ties and roundings are settled the same way on every machine."""
    ranked = sorted(((round(chance, 5), cause) for cause, chance in chances), key=lambda pair: (-pair[0], pair[1]))
    shown = [f"{cause} {chance + 1e-6:.2f}" for chance, cause in ranked[:SHOWN] if chance >= LEAST]
    return f"{name} ({aim}): {', '.join(shown) or 'nothing'}"


def main() -> None:
    """Write both files."""
    bench = Workbench.open()
    FACTS.write_text(standings_of_facts(bench.rulebook), encoding="utf-8")
    LETTERS.write_text(standings_of_letters(bench), encoding="utf-8")


if __name__ == "__main__":
    main()
