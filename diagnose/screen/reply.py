"""The reply to a member: what it probably is, what to do and what not, or what we would like to ask first."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator, Sequence

from diagnose.frozen import frozen
from diagnose.model.desk import DeskRules, Wording
from diagnose.model.knowledge import Cause, KnowledgeBase
from diagnose.model.result import CauseFound, Result
from diagnose.screen.harmless import shortened

__all__ = ["REPLY_TEXTS", "Part", "Reply", "ReplyWriter", "leading_causes"]

REPLY_TEXTS = (
    "title", "hello", "thanks", "thanks_ask", "read", "read_nothing", "plant", "records", "heading_one",
    "heading_several", "grade_very_likely", "grade_likely", "grade_possible", "grade_unlikely", "normal", "several",
    "because", "spreads", "check", "this_week", "afterwards", "do_not", "expect", "cautions", "look_alike",
    "look_alikes", "again", "again_on", "again_sooner", "again_any_time", "ask_one", "ask_several", "ask_why",
    "ask_why_one", "unpot_note", "meanwhile", "meanwhile_spreads", "meanwhile_water", "nothing_fits", "not_a_label",
    "hurts", "bye", "signed", "unsigned", "distance",
)
NUMBERS = {2: "two", 3: "three"}
MOST_SIGNS, MOST_REASONS, MOST_NOW, MOST_LATER = 6, 2, 6, 4
DEEP = ("unpot", "cut")


@frozen
class Part:
    """A heading (may be empty) of a level from 1 to 3, and plain lines: running text, a list or numbered steps."""

    heading: str
    lines: tuple[str, ...]
    form: str = "text"
    level: int = 2


@frozen
class Reply:
    """A reply as parts in order. ``asks`` says that it asks back; ``look_again`` is the day it promises."""

    parts: tuple[Part, ...]
    asks: bool
    look_again: dt.date | None


def leading_causes(base: KnowledgeBase, result: Result) -> tuple[CauseFound, ...]:
    """The causes a reply is about: the best explanation as far as it is at least likely; what can wait least first."""
    least = base.scales.grade["likely"]
    named = [cause for cause in result.causes if cause.cause in result.best_explanation and cause.probability >= least]
    chosen = named or list(result.causes[:1])
    return tuple(sorted(chosen, key=lambda c: -base.scales.urgency[c.urgency] * (1 + c.spreads) * c.probability))


@frozen
class ReplyWriter:
    """Writes replies with the wording and the rules of the desk."""

    base: KnowledgeBase
    rules: DeskRules
    say: Wording

    def write(self, case: str, result: Result, on: dt.date, by: str = "", *, ask: bool | None = None) -> Reply:
        """The reply to a case on a day. ``ask`` forces questions or an answer; by default the verdict decides."""
        wanted = result.verdict != "decided" if ask is None else ask
        asks = wanted and bool(result.ask_next)
        causes = leading_causes(self.base, result)
        parts = [Part(self.say.say("title", case=case), (self.say.say("hello"),), level=1)]
        parts.append(Part("", tuple(self._opening(result, asks=asks))))
        look_again = None
        if asks or not causes:
            parts += self._questions(result, causes)
        else:
            for number, cause in enumerate(causes, 1):
                parts += self._cause(cause, number if len(causes) > 1 else 0)
            cautions = tuple(dict.fromkeys(caution for cause in causes for caution in cause.cautions))
            parts.append(Part(self.say.say("cautions"), cautions, "list"))
            look_again = on + dt.timedelta(days=min(self.base.causes[c.cause].look_again_days for c in causes))
            parts.append(Part(self.say.say("again"), tuple(self._again(look_again, on))))
        parts.append(Part("", tuple(self._closing(by))))
        return Reply(tuple(part for part in parts if part.lines), asks, look_again)

    def _opening(self, result: Result, *, asks: bool) -> Iterator[str]:
        yield self.say.say("thanks_ask" if asks else "thanks")
        seen = [f'{sign.name.lower()} ("{shortened(sign.quote, 60)}")' if sign.quote else sign.name.lower()
                for sign in result.understood.signs if sign.state == "present"][:MOST_SIGNS]
        yield self.say.say("read", signs="; ".join(seen)) if seen else self.say.say("read_nothing")
        group = self.base.groups.get(result.understood.plant.group)
        if group and group.id != "unknown":
            yield self.say.say("plant", group=group.name)
        if result.records:
            yield self.say.say("records")
        if not asks and len(leading_causes(self.base, result)) > 1:
            yield self.say.say("several")

    def _cause(self, cause: CauseFound, number: int) -> Iterator[Part]:
        known = self.base.causes[cause.cause]
        heading = (self.say.say("heading_several", number=number, name=cause.name) if number
                   else self.say.say("heading_one"))
        yield Part(heading, tuple(self._verdict(cause)))
        now, later = _now_and_later(known, cause.do)
        alike = [self.say.say("look_alikes", name=self.base.causes[other.cause].name, tell_apart=other.tell_apart)
                 for other in known.look_alikes[:1] if other.cause in self.base.causes]
        for key, lines, form in (("check", cause.settle[:1], "text"), ("this_week", now[:MOST_NOW], "steps"),
                                 ("afterwards", later[:MOST_LATER], "list"), ("do_not", cause.do_not, "list"),
                                 ("expect", (cause.expect,) if cause.expect else (), "text"),
                                 ("look_alike", alike if cause.grade != "very likely" else (), "list")):
            yield Part(self.say.say(key), tuple(lines), form, 3)

    def _verdict(self, cause: CauseFound) -> Iterator[str]:
        key = "grade_" + grade_of_word(self.base, cause.probability)
        yield self.say.say(key, name=cause.name, hundred=max(1, min(99, round(cause.probability * 100))))
        if cause.kind == "normal":
            yield self.say.say("normal")
        reasons = [evidence.because for evidence in cause.for_[:MOST_REASONS] if evidence.because]
        if reasons:
            yield self.say.say("because", reasons=" ".join(reasons))
        if cause.spreads:
            yield self.say.say("spreads")
        if cause.cause in self.rules.order.hurts:
            yield self.say.say("hurts", why=self.rules.order.hurts[cause.cause])

    def _questions(self, result: Result, causes: Sequence[CauseFound]) -> Iterator[Part]:
        if result.verdict == "nothing_fits":
            yield Part("", (self.say.say("nothing_fits"),))
        asked = [(self.base.question_of(ask.sign), ask) for ask in result.ask_next[:3]]
        lines = [f"{ask.question} {question.how if question else ''}".strip() for question, ask in asked]
        count = len(lines)
        key = "ask_one" if count == 1 else "ask_several"
        heading = self.say.say(key, number=NUMBERS.get(count, count))
        yield Part(heading, tuple(lines), "steps")
        rivals = [cause.name for cause in result.causes[:3] if cause.probability >= 0.05]
        notes = [self.say.say("ask_why" if len(rivals) > 1 else "ask_why_one", causes="; ".join(rivals))
                 ] if rivals else []
        notes += [self.say.say("unpot_note")] if any(ask.effort in DEEP for _, ask in asked) else []
        yield Part("", tuple(notes) if lines else ())
        spreads = any(cause.spreads and cause.grade != "unlikely" for cause in result.causes)
        hurts = [self.say.say("hurts", why=self.rules.order.hurts[cause.cause]) for cause in result.causes
                 if cause.cause in self.rules.order.hurts and cause.probability >= 0.05]
        holding = [*hurts, *([self.say.say("meanwhile_spreads")] if spreads else []), self.say.say("meanwhile_water")]
        yield Part(self.say.say("meanwhile"), tuple(holding), "list")

    def _again(self, day: dt.date, on: dt.date) -> Iterator[str]:
        yield self.say.say("again_on", day=f"{day.day} {day:%B %Y}", days=(day - on).days)
        yield self.say.say("again_sooner")

    def _closing(self, by: str) -> Iterator[str]:
        yield self.say.say("distance")
        yield self.say.say("not_a_label")
        yield self.say.say("bye")
        yield self.say.say("signed", by=by) if by else self.say.say("unsigned")


def grade_of_word(base: KnowledgeBase, probability: float) -> str:
    """The word for a probability, as the ids of texts have it."""
    grades = sorted(base.scales.grade.items(), key=lambda item: -item[1])
    return next(word for word, least in grades if probability >= least).replace(" ", "_")


def _now_and_later(cause: Cause, done: Sequence[str]) -> tuple[list[str], list[str]]:
    """What is to be done now and what later, by the advice each text was made from."""
    later_forms = [_form_of(text) for rule in cause.advice if rule.part == "later"
                   for text in (rule.text, rule.otherwise) if text]
    later = [text for text in done if any(form.fullmatch(text) for form in later_forms)]
    return [text for text in done if text not in later], later


def _form_of(text: str) -> re.Pattern[str]:
    """Matches a text of the rule base with any figures in its {places}."""
    return re.compile(".+?".join(re.escape(part) for part in re.split(r"\{[a-z_0-9.]+\}", text)))
