"""How sentences and short turns that tell one sign or circumstance are read.

``tests/data/told_signs.jsonl`` holds invented texts by writers who knew only what each sign means, not the words of the
rule base. "says": the text tells it; "not": a hasty reader would take it for it. The half "tune" was looked at when the
reader was mended, "hold" was not. Run ``python -m tests.measure.told_signs`` for the lines of DEVELOPERS.md.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from diagnose.model.facts import Case, State
from diagnose.model.knowledge import KnowledgeBase
from diagnose.workbench import CaseRequest, Workbench
from tests.measure.scores import DATA, DAY, line
from tests.measure.sign_reading import with_implied

__all__ = ["ToldSign", "figures", "is_read", "told_signs"]


@dataclass(frozen=True, slots=True)
class ToldSign:
    """A text, the sign or circumstance (``habit``) it is about, others it tells too, and whether it ``says`` it."""

    text: str
    about: str
    habit: bool
    says: bool
    also: frozenset[str]


def told_signs(collection: str, half: str) -> list[ToldSign]:
    """The texts of a collection ("sentences" or "short") and half."""
    lines = (DATA / "told_signs.jsonl").read_text(encoding="utf-8").splitlines()
    entries = [json.loads(text) for text in lines if text]
    return [ToldSign(e["text"], e.get("sign") or e["habit"], "habit" in e, e["kind"] == "says",
                     frozenset(e.get("also", ()))) for e in entries if (e["set"], e["half"]) == (collection, half)]


def is_read(told: ToldSign, case: Case, base: KnowledgeBase) -> bool:
    """Whether the reader takes the text to tell what it is about, a sign also by way of a more special one."""
    if told.habit:
        return any(habit.habit == told.about and habit.holds for habit in case.habits)
    return told.about in with_implied(_present(case), base)


def _present(case: Case) -> set[str]:
    return {seen.sign for seen in case.signs if seen.state is State.PRESENT}


def figures(bench: Workbench, texts: Sequence[ToldSign]) -> dict[str, float]:
    """Shares read of what is told, and left unread of what is not; further signs read beside each told one.

    Writers did not tag every sign that a text tells too, so some of the further signs are right.
    """
    cases = [(told, bench.case(told.text, CaseRequest(date=DAY))) for told in texts]
    read = [(told, is_read(told, case, bench.base)) for told, case in cases]
    signs = [(told, case) for told, case in cases if told.says and not told.habit]
    beside = [_present(case) - with_implied({told.about, *told.also} & bench.base.signs.keys(), bench.base)
              for told, case in signs]
    return {
        "signs read": _share(found for told, found in read if told.says and not told.habit),
        "circumstances read": _share(found for told, found in read if told.says and told.habit),
        "left unread of what is not told": _share(not found for told, found in read if not told.says),
        "further signs a text": sum(map(len, beside)) / len(beside), "texts": len(texts),
    }


def _share(values: Iterable[bool]) -> float:
    found = list(values)
    return sum(found) / len(found) if found else float("nan")


def main() -> None:
    """Print the figures of both halves."""
    bench = Workbench.open()
    for collection in ("sentences", "short"):
        for half in ("tune", "hold"):
            print(line(f"{collection}, {half}", figures(bench, told_signs(collection, half))))


if __name__ == "__main__":
    main()
