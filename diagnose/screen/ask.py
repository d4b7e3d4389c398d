"""The ask command: the short question sequence at the keyboard, or by a file of answers without one."""

from __future__ import annotations

import shlex
import sys
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal

from diagnose.intake.answers import read_answers
from diagnose.intake.session_files import read_session
from diagnose.knowledge.asking import read_asking
from diagnose.knowledge.store import default_folder
from diagnose.model.asking import OPENING, Circumstance, CircumstanceAnswer, Reply
from diagnose.model.facts import State
from diagnose.model.knowledge import KnowledgeBase
from diagnose.model.session import Session
from diagnose.reason.interview import AnyQuestion, Interview, Interviewer, Step
from diagnose.reason.standing import Standing
from diagnose.screen import ask_words as words
from diagnose.screen.ask_ending import AskOutput, finish, offer_to_save
from diagnose.screen.ask_opening import open_talk, say_understood
from diagnose.screen.ask_reading import Command, Options, read_typed
from diagnose.screen.session_place import SessionPlace
from diagnose.screen.talk import Talk, is_plain
from diagnose.workbench import CaseRequest, OpenedCase, Workbench

__all__ = ["ask_at_keyboard", "ask_by_file", "resume"]


def opened_interviewer(bench: Workbench) -> Interviewer:
    """The interviewer of the bench's rule base."""
    return Interviewer(bench.rulebook, read_asking(bench.base, bench.folder))


def ask_by_file(answers: Path, request: CaseRequest, output: AskOutput, knowledge: Path | None = None) -> None:
    """The answer from a file of answers, with records if there are any; nothing is asked."""
    bench = Workbench.open(knowledge)
    interviewer = opened_interviewer(bench)
    found = read_answers(answers, bench.base)
    opened = bench.opened("", request)
    told = {seen.sign for seen in found.signs}
    kept = tuple(seen for seen in opened.case.signs if seen.sign not in told)
    case = replace(opened.case, signs=kept + found.signs, habits=opened.case.habits + found.habits)
    step = interviewer.step(Interview(case))
    words.say_contradictions(Talk(sys.stderr, plain=True), step.contradictions)
    finish(_talk_for(output), bench, "", OpenedCase(case, opened.records), output)


def _talk_for(output: AskOutput) -> Talk:
    """Where to talk: standard output is left to JSON where that is wanted."""
    return Talk(sys.stderr if output.json else sys.stdout, plain=is_plain(output.plain))


def ask_at_keyboard(letter: str, request: CaseRequest, output: AskOutput, knowledge: Path | None = None) -> None:
    """Ask at the keyboard, beginning with a letter, records, or nothing."""
    session = Session(request.date, letter, False, request.group, request.stage, request.medium, request.records,
                      request.plant, request.date_order)
    bench = Workbench.open(knowledge)
    _Sequence(bench, opened_interviewer(bench), session, SessionPlace(), output).run()


def resume(path: Path, output: AskOutput, knowledge: Path | None = None) -> None:
    """Go on with a sequence that was broken off. Raises InputError."""
    bench = Workbench.open(knowledge)
    interviewer = opened_interviewer(bench)
    session = read_session(path, bench.base, interviewer.asking)
    _Sequence(bench, interviewer, session, SessionPlace(path), output).run()


@dataclass(slots=True)
class _Sequence:
    """One sequence going on. The interview itself is a value; what changes here is which one is current."""

    bench: Workbench
    interviewer: Interviewer
    session: Session
    place: SessionPlace
    output: AskOutput

    def run(self) -> None:
        """Talk until it ends; broken off, it is kept in a file whose name is said."""
        talk = _talk_for(self.output)
        try:
            self._talk(talk)
        except KeyboardInterrupt:
            talk.say()
            self._say_kept(talk)

    def _say_kept(self, talk: Talk) -> None:
        if self.place.path is None:
            talk.say("Broken off. There was nothing to keep yet.")
            return
        talk.say("Broken off; your answers are kept. Go on with:")
        other = [] if self.bench.folder == default_folder() else ["--knowledge", str(self.bench.folder)]
        talk.say_as_is(shlex.join(["diagnose", "ask", "--resume", str(self.place.path), *other]))

    def _talk(self, talk: Talk) -> None:
        opened = self._begin(talk)
        before: Standing | None = None
        step = None
        while opened is not None:
            interview = Interview(opened.case, self.session.replies)
            step = self.interviewer.step(interview)
            words.say_standing(talk, self.bench.rulebook.causes, self.bench.base, step.standing, before)
            words.say_contradictions(talk, step.contradictions)
            said = self._put(talk, interview, step) if step.ask else None
            if said is None or said is Command.STOP:
                break
            before = None if said is Command.BACK else step.standing
            opened = self._back(talk, opened) if said is Command.BACK else self._taken(said, opened)
        if opened is None or step is None:
            talk.say("Nothing was asked.")
            self.place.drop()
            if self.output.json:  # whoever reads it finds a result object in any case
                finish(talk, self.bench, "", self._opened(), self.output)
            return
        self._end(talk, step, opened)

    def _begin(self, talk: Talk) -> OpenedCase | None:
        """The facts to begin with; None where the grower leaves at once."""
        opened = self._opened()
        if self.session.letter or self.session.replies:
            if self.session.letter:
                say_understood(talk, self.bench.base, opened.case)
            return opened
        opening = open_talk(talk, self.bench.base, self.interviewer.asking)
        if opening.stopped:
            return None
        if opening.words:
            return self._with_words(talk, opening.words)
        self._change(replies=(Reply(OPENING, opening.signs),) if opening.signs else ())
        return opened

    def _with_words(self, talk: Talk, typed: str) -> OpenedCase | None:
        self.session = replace(self.session, letter=typed, typed=True)
        opened = self._opened()
        say_understood(talk, self.bench.base, opened.case)
        if any(seen.state is not State.ABSENT for seen in opened.case.signs) or opened.case.habits:
            self.place.keep(self.session)
            return opened
        talk.say("Try other words, or press Enter to pick from lists.")
        self.session = replace(self.session, letter="", typed=False)
        return self._begin(talk)

    def _opened(self) -> OpenedCase:
        session = self.session
        return self.bench.opened(session.letter, CaseRequest(session.date, session.group, session.stage, session.medium,
                                                             session.records, session.plant, session.date_order))

    def _change(self, replies: tuple[Reply, ...]) -> None:
        self.session = replace(self.session, replies=replies)
        self.place.keep(self.session)

    def _taken(self, reply: Reply, opened: OpenedCase) -> OpenedCase:
        self._change((*self.session.replies, reply))
        return opened

    def _back(self, talk: Talk, opened: OpenedCase) -> OpenedCase | None:
        """Undo the last reply, or the opening; what came by option or file stays."""
        if self.session.replies:
            self._change(self.session.replies[:-1])
            talk.say("The last answer is undone.")
            return opened if self.session.letter or self.session.replies else self._begin(talk)
        if self.session.typed:
            self.session = replace(self.session, letter="", typed=False)
            return self._begin(talk)
        talk.say("This is the first question; there is nothing to undo.")
        return opened

    def _put(self, talk: Talk, interview: Interview, step: Step) -> Reply | Literal[Command.BACK, Command.STOP] | None:
        """Put the question until it is answered, or left by back or stop; None at the end of the input."""
        assert step.ask is not None
        question, base = step.ask.question, self.bench.base
        says = self.interviewer.open_answers(question, step.standing)
        options = options_of(question, says, base)
        number, most = interview.answered_count + 1, int(base.scales.constants["most_questions"])
        words.say_question(talk, number, most, question, says, self._noted(question, step.standing))
        while True:
            line = talk.ask()
            if line is None:
                return None
            typed = read_typed(line, options)
            if typed.problem:
                talk.say(typed.problem)
            elif typed.command is Command.HELP:
                words.say_help(talk, base, question, says)
            elif typed.command is Command.WHY:
                effects = self.interviewer.effects(interview, step.standing, question)
                words.say_effects(talk, self.bench.rulebook.causes, base, effects)
            elif typed.command is Command.BACK or typed.command is Command.STOP:
                return typed.command
            else:
                return Reply(question.id, tuple(says[place] for place in typed.chosen))

    def _noted(self, question: AnyQuestion, standing: Standing) -> str:
        if isinstance(question, Circumstance):
            return ""
        return ", ".join(self.bench.base.signs[seen.sign].name for seen in standing.case.signs
                         if seen.sign in question.signs and seen.state is State.PRESENT)

    def _end(self, talk: Talk, step: Step, opened: OpenedCase) -> None:
        words.say_stop(talk, step.stop, int(self.bench.base.scales.constants["most_questions"]))
        case = OpenedCase(step.standing.case, opened.records)
        told = [f"{self.interviewer.asking.circumstances[reply.question].ask} {'; '.join(reply.chosen)}"
                for reply in self.session.replies
                if reply.chosen and reply.question in self.interviewer.asking.circumstances]
        finish(talk, self.bench, self.session.letter, case, self.output)
        records = (self.session.records, self.session.plant) if self.session.records else None
        if offer_to_save(talk, case.case, self.session.letter, told, records):
            self.place.drop()


def options_of(question: AnyQuestion, says: tuple[str, ...], base: KnowledgeBase) -> Options:
    """The answers as they can be typed; a kind of plant goes by any of its names."""
    alone: set[int] = set()
    names: dict[str, int] = {}
    for answer in question.answers:
        if answer.say not in says:
            continue
        place = says.index(answer.say)
        if isinstance(answer, CircumstanceAnswer):
            if not answer.habits and not answer.plant:
                alone.add(place)
            group = base.groups.get(answer.plant.get("group", ""))
            names |= dict.fromkeys(group.names, place) if group else {}
        elif answer.healthy:
            alone.add(place)
    return Options(says, question.several, frozenset(alone), names)
