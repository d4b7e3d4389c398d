"""Taking in letters: says what became of each, what was left out of it, and what to look at again."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

from rich.console import Console
from rich.text import Text

from diagnose.desk.desk import Desk
from diagnose.desk.newcomers import Added, add_letters
from diagnose.intake.pasted import MOST_PASTE, Pasted, PastedReader
from diagnose.knowledge.desk import read_pasted_rules
from diagnose.problems import InputError, Problem, Where
from diagnose.screen.harmless import harmless, shortened

__all__ = ["take_in"]

MOST_DOUBTFUL = 8


def take_in(desk: Desk, place: Path, screen: Console) -> None:
    """Make case files of the letters of a file, a folder or standard input. Raises InputError if there are none."""
    names = {name for group in desk.base.groups.values() for name in group.names}
    reader = PastedReader(read_pasted_rules(desk.judge.opener.knowledge), names)
    problems: list[Problem] = []
    letters = list(_letters(reader, place, problems))
    if not letters:
        raise InputError(problems or [Problem(Where(str(place)), "no-letters", "There are no letters here.",
                                              "Letters are .txt, .md or .eml files, or one long paste.")])
    added, warning = add_letters(desk.folder, letters, desk.today)
    for entry in added:
        _show(screen, entry)
    for problem in problems:
        print(harmless(str(problem)), file=sys.stderr)
    screen.print(Text(
        "\nNames, addresses, telephone numbers, mail addresses and links were left out of the case files as far as "
        "they were recognised; a name within a sentence can be missed, so read each case before you share the folder. "
        "The letters themselves were not touched: delete them when you no longer need them."))
    if warning:
        print(warning, file=sys.stderr)


def _letters(reader: PastedReader, place: Path, problems: list[Problem]) -> Iterator[Pasted]:
    typed = str(place) == "-"
    found = reader.paste(sys.stdin.buffer.read(MOST_PASTE + 1), "standard input") if typed else reader.read(place)
    for entry in found:
        if isinstance(entry, InputError):
            problems.extend(entry.problems)
        else:
            yield entry


def _show(screen: Console, added: Added) -> None:
    pasted = added.pasted
    source = shortened(pasted.source, 80)
    if not added.fresh:
        screen.print(Text(f"{source}: here already as case {harmless(added.case)}"))
        return
    screen.print(Text.assemble(f"{source}: case ", (added.case, "bold"), f", member {added.member}"))
    left_out = ", ".join(pasted.left_out) or "nothing was recognised"
    screen.print(Text(f"    left out: {left_out}", style="dim"))
    for note in pasted.notes:
        screen.print(Text(f"    {note}", style="dim"))
    if pasted.doubtful:
        words = ", ".join(harmless(word) for word in pasted.doubtful[:MOST_DOUBTFUL])
        screen.print(Text(f"    perhaps still a name: {words}", style="yellow"))
