"""What is denied by calling something healthy, green or free of pests."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from diagnose.frozen import frozen
from diagnose.intake.letters.phrases import Kind
from diagnose.intake.letters.sentences import Said
from diagnose.model.facts import State
from diagnose.model.speech import Denial
from diagnose.model.vocabulary import SignPhrases, Vocabulary

__all__ = ["HealthTable", "denied_signs", "health_table"]


@frozen
class HealthTable:
    """By part, the signs that "healthy" denies and those that "the others are healthy" does; the denials in order."""

    signs: Mapping[str, tuple[str, ...]]
    of_others: Mapping[str, tuple[str, ...]]
    denials: tuple[Denial, ...]
    certainty: float


def health_table(vocabulary: Vocabulary) -> HealthTable:
    """Tables for knowledge/speech/health.yaml."""
    health = vocabulary.speech.health
    hurting = [sign for sign in vocabulary.signs if sign.sign not in health.spared]
    others = [sign for sign in vocabulary.signs if sign.sign in health.of_others]
    return HealthTable(_by_part(hurting), _by_part(others), health.denials, health.certainty)


def _by_part(signs: Iterable[SignPhrases]) -> dict[str, tuple[str, ...]]:
    found: dict[str, list[str]] = {}
    for sign in signs:
        found.setdefault(sign.part, []).append(sign.sign)
    return {part: tuple(names) for part, names in found.items()}


def denied_signs(own: Sequence[Said], table: HealthTable) -> Iterator[Said]:
    """Signs shown to be absent by general words; they yield to whatever is told of the sign itself.

    Where a part is called healthy and signs of it are told all the same, the praise counts half.
    """
    told = {one.target for one in own if one.kind is Kind.SIGN and one.state is State.PRESENT}
    for one in own:
        if one.kind is Kind.HEALTH and one.state is State.PRESENT:
            signs = table.signs.get(one.target, ())
            certainty = table.certainty if told.isdisjoint(signs) else table.certainty / 2
            yield from _absent(one, table.of_others.get(one.target, ()) if one.of_rest else signs, certainty)
        elif one.kind is Kind.DENIAL:
            denial = table.denials[int(one.target)]
            if one.state is (State.ABSENT if denial.negated else State.PRESENT):
                certainty = 1.0 if denial.settles else table.certainty
                yield from _absent(one._replace(settles=denial.settles), denial.signs, certainty)


def _absent(one: Said, signs: Iterable[str], certainty: float) -> Iterator[Said]:
    for sign in signs:
        yield one._replace(kind=Kind.SIGN, target=sign, state=State.ABSENT, certainty=one.certainty * certainty)
