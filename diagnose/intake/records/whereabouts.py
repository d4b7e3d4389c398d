"""Where a plant stood on which days, from its bench entry and the moves of its care log."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping

from diagnose.frozen import frozen
from diagnose.intake.records.care import ALL_PLANTS, CareRow
from diagnose.intake.records.window import day_number

__all__ = ["Stay", "plants_by_place", "stays", "vague_moves"]


@frozen
class Stay:
    """A place, empty text where it is not known, from a day number on (None: from the start)."""

    place: str
    first: int | None = None


def stays(bench_place: str, rows: Iterable[CareRow], places: Collection[str]) -> tuple[Stay, ...]:
    """The places in the order of time.

    A move counts where its detail names places of the bench ("to balcony", "from balcony to east-window"). The bench
    entry is the place before the first such move, unless a move led there: then it is that of today, and where the
    plant came from is known only if the move says so.
    """
    moves = [(day_number(row.date), _route(row.detail, places)) for row in rows if row.action == "move"]
    known = [(day, origin, goal) for day, (origin, goal) in moves if goal]
    if not known:
        return (Stay(bench_place),)
    first_origin = known[0][1]
    was_there = bench_place if bench_place not in {goal for _, _, goal in known} else ""
    return (Stay(first_origin or was_there), *(Stay(goal, day) for day, _, goal in known))


def vague_moves(rows: Iterable[CareRow], places: Collection[str]) -> list[CareRow]:
    """The moves whose detail names no place of the bench to which the plant went."""
    return [row for row in rows if row.action == "move" and not _route(row.detail, places)[1]]


def plants_by_place(
    bench_places: Mapping[str, str], rows: Iterable[CareRow], places: Collection[str]
) -> dict[str, list[str]]:
    """The plants that stand at each place now; ``bench_places`` is the place of each plant by its bench entry."""
    moves = [row for row in rows if row.action == "move"]
    found: dict[str, list[str]] = {place: [] for place in places}
    for plant, bench_place in bench_places.items():
        now = stays(bench_place, [row for row in moves if row.plant in (plant, ALL_PLANTS)], places)[-1].place
        if now in found:
            found[now].append(plant)
    return found


def _route(detail: str, places: Collection[str]) -> tuple[str, str]:
    """Origin and goal named in a detail, empty text where not named."""
    names = sorted(places, key=len, reverse=True)
    if not names:
        return "", ""
    pattern = re.compile(rf"(\bfrom\s+(?:the\s+)?)?(?<![\w-])({'|'.join(map(re.escape, names))})(?![\w-])")
    found = pattern.findall(detail)
    origin = next((name for word, name in found if word), "")
    goal = next((name for word, name in found if not word), "")
    return origin, goal
