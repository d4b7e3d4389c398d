"""What kind of plant it is and how it is grown, from the words of the letter and from what the form says."""

from __future__ import annotations

from collections.abc import Sequence

from diagnose.intake.letters.phrases import Kind
from diagnose.intake.letters.sentences import Said
from diagnose.model.facts import Origin, PlantContext, State
from diagnose.model.speech import ContextWords, SpeechData

__all__ = ["context_of"]


def context_of(own: Sequence[Said], group: str, speech: SpeechData,
               given: PlantContext) -> tuple[PlantContext, tuple[str, ...]]:
    """The plant's context and notes on what the letter says against the form."""
    told = {
        "group": group,
        "stage": _best(own, Kind.STAGE, speech.stages.stages),
        "medium": _best(own, Kind.MEDIUM, speech.media.media),
        "size": _best(own, Kind.SIZE, speech.stages.sizes),
        "place": _best(own, Kind.PLACE, speech.places.places),
        "reservoir": _best(own, Kind.RESERVOIR, speech.media.reservoirs),
        "hemisphere": next((one.target for one in own if one.kind is Kind.REGION and one.state is State.PRESENT), ""),
    }
    notes, values, origins = [], {}, []
    for name, value in told.items():
        known = _text(getattr(given, name))
        values[name] = known or value
        if known and value and known != value:
            notes.append(f"The letter speaks of {name} {value}; the form says {known}, and that is kept.")
        if values[name]:
            origins.append((name, dict(given.origins).get(name, Origin.PLANT) if known else Origin.LETTER))
    reservoir = {"yes": True, "no": False}.get(values.pop("reservoir"))
    return PlantContext(**values, reservoir=reservoir, origins=tuple(origins)), tuple(notes)


def _text(value: str | bool | None) -> str:
    """A value of the form as a word; "" if it is unknown."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return value or ""


def _best(own: Sequence[Said], kind: Kind, rows: Sequence[ContextWords]) -> str:
    """The value of the highest rank that is told as so, before one that is only wondered at; of equals the last told
    for the medium (plants are moved from one to another), else the first."""
    ranks = {row.value: row.rank for row in rows}
    told = [one for one in own if one.kind is kind and one.state in (State.PRESENT, State.UNSURE)]
    told = list(reversed(told)) if kind is Kind.MEDIUM else told
    return max(told, key=lambda one: (one.state is State.PRESENT, ranks[one.target])).target if told else ""
