"""Outbreaks in words: what was found, how sure that is, and what members should be told."""

from __future__ import annotations

from collections.abc import Iterable

from diagnose.frozen import frozen
from diagnose.model.desk import Wording
from diagnose.model.knowledge import Cause, KnowledgeBase
from diagnose.reason.outbreaks import Outbreak

__all__ = ["NOTICE_TEXTS", "Notice", "notices"]

NOTICE_TEXTS = ("more_than_usual", "sharing", "test", "tell_shared", "tell_all", "how_spreads", "look_for",
                "first_step")


@frozen
class Notice:
    """One notice for each cause: what was found, the test, what to tell members, and the cases."""

    cause: str
    found: tuple[str, ...]
    test: str
    tell: tuple[str, ...]
    cases: tuple[str, ...]


def notices(base: KnowledgeBase, say: Wording, outbreaks: Iterable[Outbreak], window_days: int) -> list[Notice]:
    """Notices, the least likely by chance first; several findings about one cause make one notice.

    ``window_days`` is how many days the finding by time alone looked at.
    """
    by_cause: dict[str, list[Outbreak]] = {}
    for outbreak in outbreaks:
        by_cause.setdefault(outbreak.cause, []).append(outbreak)
    return [_notice(base.causes[cause], say, found, window_days) for cause, found in by_cause.items()]


def _notice(cause: Cause, say: Wording, found: list[Outbreak], window_days: int) -> Notice:
    first = found[0]
    tell = say.say("tell_shared", shared=first.shared, value=first.value, name=cause.name) if first.shared else say.say(
        "tell_all", name=cause.name)
    how = cause.spreads.partition(":")[2].strip()
    steps = [rule.text for rule in cause.advice if rule.part == "now" and not rule.when.tests and "{" not in rule.text]
    lines = [tell, *([say.say("how_spreads", how=how)] if how else [])]
    lines += [say.say("look_for", check=cause.settle[0].check)] if cause.settle else []
    lines += [say.say("first_step", step=steps[0])] if steps else []
    cases = dict.fromkeys(case for outbreak in found for case in outbreak.cases)
    sentences = tuple(_found(cause, say, outbreak, window_days) for outbreak in found)
    return Notice(cause.id, sentences, _test(say, first), tuple(lines), tuple(cases))


def _found(cause: Cause, say: Wording, outbreak: Outbreak, window_days: int) -> str:
    return say.say("sharing" if outbreak.shared else "more_than_usual", name=cause.name, count=len(outbreak.cases),
                   of=outbreak.of, expected=f"{outbreak.expected:.1f}", shared=outbreak.shared, value=outbreak.value,
                   first=outbreak.first.isoformat(), last=outbreak.last.isoformat(), days=window_days)


def _test(say: Wording, outbreak: Outbreak) -> str:
    chance = "fewer than 1 of 1,000" if outbreak.chance < 0.001 else f"{outbreak.chance:.1%} of all"
    return say.say("test", p=f"{outbreak.p_value:.2g}", tests=outbreak.tests, chance=chance)
