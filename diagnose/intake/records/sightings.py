"""What each look at a plant found, from the ``seen`` rows of its care log."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Collection

from diagnose.intake.records.folder import Records
from diagnose.model.facts import Case, Origin, SeenSign, State
from diagnose.model.outlook import Sighting

__all__ = ["sightings_of"]

LONGEST_DAYS = 150  # a look further back tells nothing of what comes


def sightings_of(records: Records, known_signs: Collection[str], clean: Collection[str], read: Callable[[str], Case]
                 ) -> tuple[Sighting, ...]:
    """The looks of the last months, oldest first, one a day.

    A detail is a sign by its id, one of the ``clean`` words of a look that found nothing, or plain words, which
    ``read`` turns into signs seen and not seen.
    """
    looks: dict[int, Sighting] = {}
    for row in records.care:
        days_ago = (records.date - row.date).days
        if row.action != "seen" or days_ago > LONGEST_DAYS:
            continue
        before = looks.get(days_ago, Sighting(days_ago))
        said = " ".join(row.detail.casefold().split()).rstrip(".!")
        if said in clean:
            looks[days_ago] = dataclasses.replace(before, clean=not before.signs)
            continue
        signs = _signs(row.detail, known_signs, read)
        looks[days_ago] = Sighting(days_ago, (*before.signs, *signs), before.clean and not signs)
    return tuple(looks[day] for day in sorted(looks, reverse=True))


def _signs(detail: str, known_signs: Collection[str], read: Callable[[str], Case]) -> tuple[SeenSign, ...]:
    if detail in known_signs:
        return (SeenSign(detail, State.PRESENT, Origin.CARE_LOG, quote=detail),)
    return tuple(dataclasses.replace(sign, origin=Origin.CARE_LOG, start=0, end=0) for sign in read(detail).signs)
