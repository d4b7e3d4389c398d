"""What is denied by calling something healthy, green or free of pests."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from diagnose.intake.letters.phrases import Kind
from diagnose.intake.letters.sentences import Said
from diagnose.model.facts import State
from diagnose.model.speech import Vocabulary

__all__ = ["denied_signs"]


def denied_signs(own: Sequence[Said], vocabulary: Vocabulary) -> Iterator[Said]:
    """Signs shown to be absent by general words; they yield to whatever is told of the sign itself."""
    health = vocabulary.speech.health
    spared = frozenset(health.spared)
    hurt = {one.target for one in own if one.kind is Kind.SIGN and one.state is State.PRESENT}
    by_part: dict[str, list[str]] = {}
    for sign in vocabulary.signs:
        by_part.setdefault(sign.part, []).append(sign.sign)
    for one in own:
        if one.kind is Kind.HEALTH and one.state is State.PRESENT:
            signs = by_part.get(one.target, [])
            wanted = [sign for sign in signs if sign in health.of_others] if one.of_rest else signs
            certainty = health.certainty if hurt.isdisjoint(signs) else health.certainty / 2
            yield from _absent(one, (sign for sign in wanted if sign not in spared), certainty)
        elif one.kind is Kind.DENIAL:
            denial = health.denials[int(one.target)]
            if one.state is (State.ABSENT if denial.negated else State.PRESENT):
                yield from _absent(one, denial.signs, health.certainty)


def _absent(one: Said, signs: Iterable[str], certainty: float) -> Iterator[Said]:
    for sign in signs:
        yield one._replace(kind=Kind.SIGN, target=sign, state=State.ABSENT, certainty=one.certainty * certainty)
