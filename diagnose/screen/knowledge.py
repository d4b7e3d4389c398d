"""The knowledge commands: check the rule base, list it, show one thing with its sources."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path

from diagnose.knowledge.asking import read_asking
from diagnose.knowledge.blank import write_blank
from diagnose.knowledge.checks import run_checks
from diagnose.knowledge.desk import read_desk_rules, read_pasted_rules, read_wording
from diagnose.knowledge.folder import load
from diagnose.knowledge.log_words import read_log_words
from diagnose.knowledge.store import default_folder
from diagnose.knowledge.support import support, without_authority
from diagnose.knowledge.vocabulary import read_vocabulary
from diagnose.model.knowledge import Cause, Condition, Group, KnowledgeBase, Sign
from diagnose.problems import InputError, Problem, Where, nearest
from diagnose.reason.examples import failed_examples
from diagnose.reason.rulebook import Rulebook
from diagnose.rounds import outlook_wording
from diagnose.screen.as_json import json_text
from diagnose.screen.console import console
from diagnose.screen.knowledge_pages import page
from diagnose.screen.notices import NOTICE_TEXTS
from diagnose.screen.reply import REPLY_TEXTS

__all__ = ["check", "list_all", "new_cause", "show_one"]


def check(folder: Path | None) -> None:
    """Print on whose word the base rests, then every finding and a count.

    Raises InputError where there are findings, so that the status is 2.
    """
    place = folder or default_folder()
    base = load(place)
    _print_support(base)
    findings = [*run_checks(base), *failed_examples(Rulebook(base)), *_other_problems(base, place)]
    if findings:
        print(f"{place}: {len(findings)} findings", file=sys.stderr)
        raise InputError(findings)
    rules = sum(len(cause.shows) + len(cause.shifts) + len(cause.advice) for cause in base.causes.values())
    print(f"{place}: {len(base.causes)} causes, {len(base.signs)} signs, {len(base.conditions)} conditions, "
          f"{len(base.groups)} groups, {rules} rules, {len(base.sources)} sources: nothing to mend.")


def _other_problems(base: KnowledgeBase, place: Path) -> Iterator[Problem]:
    """What is wrong with the files that are read when they are used, where the folder holds them."""
    readings: Mapping[str, tuple[Callable[[], object], ...]] = {
        "speech/concepts.yaml": (lambda: read_vocabulary(base, place),),
        "asking.yaml": (lambda: read_asking(base, place),),
        "log.yaml": (lambda: read_log_words(place),),
        "outlook.yaml": (lambda: outlook_wording(place),),
        "triage.yaml": (lambda: read_desk_rules(base, place), lambda: read_wording(place, "reply", REPLY_TEXTS),
                        lambda: read_wording(place, "notice", NOTICE_TEXTS), lambda: read_pasted_rules(place)),
    }
    for read in (read for name, reads in readings.items() if (place / name).is_file() for read in reads):
        try:
            read()
        except InputError as error:
            yield from error.problems


def _print_support(base: KnowledgeBase) -> None:
    counts = support(base)
    claims = sum(counts.values())
    shares = ", ".join(f"{rank} {count} ({count / claims:.0%})" for rank, count in counts.items()) if claims else "none"
    print(f"{claims} claims by the strongest source of each: {shares}")
    print(f"No published authority for any sign of: {', '.join(without_authority(base)) or 'none'}")


def new_cause(cause: str, kind: str, folder: Path | None) -> None:
    """Write the skeleton of a cause file and say what comes next. Raises InputError."""
    place = folder or default_folder()
    path = write_blank(place, cause, kind)
    print(f"{path}\nFill it in, then run: diagnose knowledge check" + (f" {folder}" if folder else ""))


def list_all(folder: Path | None, *, as_json_wanted: bool) -> None:
    """Print ids and names of causes, signs, groups and conditions."""
    base = load(folder or default_folder())
    listed = {"causes": _names(base.causes), "signs": _names(base.signs), "groups": _names(base.groups),
              "conditions": _names(base.conditions)}
    if as_json_wanted:
        print(json_text(listed))
        return
    for kind, entries in listed.items():
        print(f"{kind} ({len(entries)})")
        for entry in entries:
            print(f"  {entry['id']:<48} {entry['name']}")


def _names(entries: Mapping[str, Cause] | Mapping[str, Sign] | Mapping[str, Group] | Mapping[str, Condition]
           ) -> list[dict[str, str]]:
    return [{"id": entry.id, "name": entry.name} for entry in entries.values()]


def show_one(name: str, folder: Path | None) -> None:
    """Print the page of a cause, sign, condition, group, source or rule. Raises InputError where there is none."""
    base = load(folder or default_folder())
    found = page(base, name)
    if found is None:
        raise InputError.one(Where("knowledge show"), "unknown-id", f'Nothing is called "{name}".',
                             nearest(name, _all_ids(base)))
    console().print(found)


def _all_ids(base: KnowledgeBase) -> set[str]:
    return {*base.causes, *base.signs, *base.conditions, *base.groups, *base.sources, *base.cautions}
