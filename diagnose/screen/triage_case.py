"""One case in the terminal: how it stands, the letter as it was read, the card, look-alikes, earlier cases like it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from rich.console import Console
from rich.rule import Rule
from rich.text import Text

from diagnose.desk.judge import Judged, told
from diagnose.model.cases import CaseFile
from diagnose.model.desk import OrderRules
from diagnose.model.knowledge import KnowledgeBase
from diagnose.reason.similar import Alike
from diagnose.screen.card import card
from diagnose.screen.harmless import harmless, shortened
from diagnose.screen.marking import Piece, marked
from diagnose.screen.reply import leading_causes

__all__ = ["alike_words", "facts_of", "hurts_of", "look_alikes_of", "show_case"]

_STYLES = {"present": "bold black on yellow", "unsure": "underline", "absent": "black on bright_cyan"}
_SIGNS = {"present": ("[", "]"), "unsure": ("[", "?]"), "absent": ("[not: ", "]")}


def show_case(console: Console, base: KnowledgeBase, order: OrderRules, judged: Judged, earlier: Sequence[Alike]
              ) -> None:
    """Print one case."""
    file = judged.case_file
    console.print(Rule(Text(f"case {shortened(file.case, 60)}", style="bold"), style="dim"))
    for name, text in facts_of(file):
        console.print(Text.assemble((f"{name:<13} ", "dim"), harmless(text)))
    for why in hurts_of(order, judged):
        console.print(Text(f"Before the plant: {why}", style="bold red"))
    console.print(Text("\nThe letter; [in brackets] what was understood", style="bold"))
    console.print(_letter(marked(file.letter, judged.result.understood.signs)))
    console.print(Text(""))
    console.print(card(judged.result))
    _lines(console, "Keep in mind", look_alikes_of(base, judged))
    _lines(console, "Earlier here", [alike_words(base, alike) for alike in earlier])
    console.print(Text("\nDraft a reply: --reply    ask back: --ask-back    take it: --do take --by CODE", style="dim"))


def facts_of(file: CaseFile) -> Iterator[tuple[str, str]]:
    """What the file says besides the letter."""
    received = file.received.isoformat() if file.received else "not told"
    yield "received", f"{received} from {shortened(file.member, 40) or 'an unnamed member'}"
    yield "state", f"{file.state}, {shortened(file.taken_by, 40) + ' has it' if file.taken_by else 'nobody has it'}"
    if file.context:
        yield "shared", "; ".join(f"{shortened(key, 40)}: {shortened(value, 60)}" for key, value in file.context)
    for deed in file.history[-6:]:
        note = f", {shortened(deed.note, 80)}" if deed.note else ""
        yield "done", f"{deed.on.isoformat()} {deed.did} {shortened(deed.by, 30)}{note}"
    if file.look_again:
        yield "look again", file.look_again.isoformat()
    if file.outcome:
        yield "proved to be", f"{shortened(file.outcome.cause, 60)}, plant {file.outcome.result}"
    if file.problems:
        yield "to mend", shortened(told(file.problems), 400)


def hurts_of(order: OrderRules, judged: Judged) -> list[str]:
    """By what people or pets could come to harm: told in the letter, or a cause that is at least possible."""
    told_habits = [habit.habit for habit in judged.case.habits if habit.holds]
    causes = [cause.cause for cause in judged.result.causes if cause.grade != "unlikely"]
    return [order.hurts[name] for name in dict.fromkeys([*told_habits, *causes]) if name in order.hurts]


def look_alikes_of(base: KnowledgeBase, judged: Judged) -> list[str]:
    """What the leading causes are easily taken for, and how to tell."""
    found = []
    for cause in leading_causes(base, judged.result):
        found += [f"{base.causes[other.cause].name}, not {cause.name.lower()}? {other.tell_apart}"
                  for other in base.causes[cause.cause].look_alikes[:3] if other.cause in base.causes]
    return found


def alike_words(base: KnowledgeBase, alike: Alike) -> str:
    """An earlier case and how it ended."""
    file = alike.case.case_file
    shared = ", ".join(base.signs[sign].name.lower() for sign in alike.shared[:3])
    cause = base.causes.get(file.outcome.cause) if file.outcome else None
    end = (f"proved to be: {cause.name if cause else shortened(file.outcome.cause, 60)}; plant {file.outcome.result}"
           if file.outcome else f"{file.state}, not known how it ended")
    received = file.received.isoformat() if file.received else ""
    return f"{shortened(file.case, 60)} ({received}): {shared}; {end}"


def _letter(pieces: Iterable[Piece]) -> Text:
    text = Text()
    for piece in pieces:
        before, after = _SIGNS.get(piece.state, ("", ""))
        text.append(f"{before}{piece.text}{after}", style=_STYLES.get(piece.state, ""))
    return text


def _lines(console: Console, title: str, lines: Sequence[str]) -> None:
    if lines:
        console.print(Text(f"\n{title}", style="bold"))
    for line in lines:
        console.print(Text(f"- {harmless(line)}"))
