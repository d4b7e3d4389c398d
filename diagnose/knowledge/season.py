"""Reads knowledge/season.yaml: what seasons, stages and things done ask for."""

from __future__ import annotations

import datetime as dt
import re
from typing import Final

from diagnose.knowledge import words
from diagnose.knowledge.entries import read_list
from diagnose.knowledge.form import Form
from diagnose.knowledge.outlook import read_days
from diagnose.knowledge.when import read_all
from diagnose.marked_yaml import Node, Pairs, where_of
from diagnose.model.knowledge import Claim
from diagnose.model.outlook import After, SeasonTask
from diagnose.problems import Where

__all__ = ["read_season"]

_SPAN: Final = re.compile(r"(\d\d)-(\d\d) to (\d\d)-(\d\d)")
_FIGURE: Final = re.compile(r"\{([a-z_0-9.]+)\}")
_LEAP: Final = 2024  # a year that has every day of the calendar


def read_season(form: Form, root: Pairs) -> tuple[SeasonTask, ...]:
    """The tasks of the file in its order. Mistakes are noted on the form."""
    form.keys(root, ("season",), (), "season.yaml")
    tasks = read_list(form, root, "season", _task)
    first: dict[str, SeasonTask] = {}
    for task in tasks:
        if first.setdefault(task.id, task) is not task:
            form.wrong(task.claim.where, "same-id-twice", f'"{task.id}" is described twice.', "Keep one.")
    return tuple(tasks)


def _task(form: Form, pairs: Pairs) -> SeasonTask:
    form.keys(pairs, ("task", "do", "because", "from"), ("when", "days", "after", "for_days", "otherwise"), "A task")
    if not {"when", "days", "after"} & pairs.keys():
        form.wrong(pairs.where, "no-test", "A task that names no test, no days and nothing done would always hold.")
    do, because = form.text(pairs, "do"), form.text(pairs, "because")
    _check_figures(form, pairs, do, because)
    span = _span(form, pairs)
    return SeasonTask(
        form.identifier(pairs, "task"), do, because, form.text(pairs, "otherwise"),
        read_all(form, pairs.get("when"), pairs.where), Claim(because, form.sources(pairs), pairs.where),
        span[0] if span else None, span[1] if span else None, _after(form, pairs.get("after"), pairs.where),
        int(form.number(pairs, "for_days", 1, 366, 0)))


def _check_figures(form: Form, pairs: Pairs, do: str, because: str) -> None:
    """Figures must be measures or needs; a measure in the reason needs other words for where it is unknown."""
    for name in _FIGURE.findall(do + because):
        if name.startswith("need."):
            if name.removeprefix("need.") not in form.ids["need"]:
                form.wrong(pairs.where, "unknown-need", f'"{name}" is not a need of a group.')
        else:
            form.reference("measure", name, pairs.where)
    if any(not name.startswith("need.") for name in _FIGURE.findall(because)) and "otherwise" not in pairs:
        form.wrong(pairs.where, "no-otherwise", "This reason holds a measure and does not say what to say without it.",
                   'Add "otherwise".')


def _span(form: Form, pairs: Pairs) -> tuple[tuple[int, int], tuple[int, int]] | None:
    if "days" not in pairs:
        return None
    found = _SPAN.fullmatch(form.text(pairs, "days"))
    try:
        if not found:
            raise ValueError
        first, last = (int(found[1]), int(found[2])), (int(found[3]), int(found[4]))
        dt.date(_LEAP, *first), dt.date(_LEAP, *last)
    except ValueError:
        form.wrong(where_of(pairs["days"], pairs.where), "no-window", f'"{pairs["days"]}" is not a span of the year.',
                   'Write month and day as "09-15 to 11-10".')
        return None
    return first, last


def _after(form: Form, node: Node | None, where: Where) -> After | None:
    if node is None:
        return None
    pairs = form.pairs(node, where, "after")
    form.keys(pairs, ("event", "days"), ("words",), '"after"')
    event = form.choice(pairs, "event", words.LOGGED_EVENTS, words.LOGGED_EVENTS[0])
    return After(event, read_days(form, pairs, "days"), tuple(text.lower() for text in form.texts(pairs, "words")))
