"""Keeps a question sequence that was broken off in a file of its own, and reads it back."""

from __future__ import annotations

from pathlib import Path

import yaml

from diagnose.intake.letter_files import MOST_LETTER
from diagnose.intake.records.entry import Entry
from diagnose.marked_yaml import Items, Pairs, Text, read_marked
from diagnose.model.asking import OPENING, Asking, Reply
from diagnose.model.knowledge import KnowledgeBase
from diagnose.model.session import Session
from diagnose.problems import InputError, Problem, Where, nearest

__all__ = ["read_session", "session_text"]

VERSION = "1"
_HEADING = "# A question sequence that was broken off. Go on with: diagnose ask --resume THIS_FILE\n"
_PLAIN = ("group", "stage", "medium", "plant", "date_order")


def session_text(session: Session) -> str:
    """The file of a session."""
    content: dict[str, object] = {"session": VERSION, "date": session.date.isoformat()}
    content |= {name: getattr(session, name) for name in _PLAIN if getattr(session, name)}
    if session.records:
        content["records"] = str(session.records.absolute())
    if session.letter:
        content |= {"letter": session.letter, "typed": "yes" if session.typed else "no"}
    content["replies"] = [{"question": reply.question, "chosen": list(reply.chosen)} for reply in session.replies]
    return _HEADING + yaml.safe_dump(content, sort_keys=False, allow_unicode=True, width=100)


def read_session(path: Path, base: KnowledgeBase, asking: Asking) -> Session:
    """The session of a file. Raises InputError with every mistake, each with its line."""
    root = read_marked(path)
    if not isinstance(root, Pairs) or root.get("session") != VERSION:
        words = "This file holds no question sequence that was broken off."
        raise InputError.one(Where(str(path), 1), "no-session", words, f'Expected a line "session: {VERSION}".')
    problems: list[Problem] = []
    entry = Entry(root, problems, [])
    date = entry.date("date")
    if date is None:
        entry.wrong(entry.place("date"), "no-date", "The day it began is missing.", "Write date: 2026-03-02.")
    replies = tuple(_reply(part, base, asking) for part in entry.listed("replies"))
    records = entry.text("records")
    if "\0" in records:
        entry.wrong(entry.place("records"), "not-a-path", "This is not the path of a folder.")
    plain = {name: entry.text(name) for name in _PLAIN}
    letter, typed = entry.text("letter"), entry.yes_no("typed") or False
    if len(letter) > MOST_LETTER:
        entry.wrong(entry.place("letter"), "letter-too-long", f"This letter is longer than {MOST_LETTER:,} characters.")
    if problems or date is None:
        raise InputError(problems)
    return Session(date, letter, typed, records=Path(records) if records else None, replies=replies, **plain)


def _reply(entry: Entry, base: KnowledgeBase, asking: Asking) -> Reply:
    question = entry.text("question")
    known = {OPENING: tuple(base.signs)}
    known |= {found.id: tuple(answer.say for answer in found.answers) for found in base.questions.values()}
    known |= {found.id: tuple(answer.say for answer in found.answers) for found in asking.circumstances.values()}
    if question not in known:
        entry.wrong(entry.place("question"), "unknown-question", f'There is no question "{question}".',
                    nearest(question, known))
        return Reply(question)
    return Reply(question, tuple(_chosen(entry, known[question])))


def _chosen(entry: Entry, answers: tuple[str, ...]) -> list[str]:
    chosen = entry.pairs.get("chosen")
    found = [value for value in chosen if isinstance(value, Text)] if isinstance(chosen, Items) else []
    for say in found:
        if say not in answers:
            words = f'"{say}" is not an answer to this question.'
            entry.wrong(say.where, "unknown-answer", words, nearest(say, answers))
    return [str(say) for say in found]
