"""The console command: arguments, exit statuses and the one place where errors are shown.

Exit status: 0 done; 2 bad usage or bad input, with plain messages on standard error; 1 a fault of the program.
"""

from __future__ import annotations

import contextlib
import gc
import io
import os
import sys
from pathlib import Path
from typing import Annotated

import typer

from diagnose.problems import InputError
from diagnose.screen.ask_command import ask_command
from diagnose.screen.harmless import harmless
from diagnose.screen.log import log_command
from diagnose.screen.options import KnowledgeOption
from diagnose.screen.outlook import outlook_command
from diagnose.screen.triage_command import outcome_command, triage_command

__all__ = ["app", "run"]

MOST_TOLD = 200  # mistakes; where there are more, it is one and the same
app = typer.Typer(add_completion=False, no_args_is_help=True, pretty_exceptions_enable=False,
                  help="Likely causes of trouble with a plant in a pot, and what to do.")
knowledge_app = typer.Typer(no_args_is_help=True, help="Look at the rule base and check it.")
app.add_typer(knowledge_app, name="knowledge")
app.command("ask")(ask_command)
app.command("triage")(triage_command)
app.command("outcome")(outcome_command)
app.command("log")(log_command)
app.command("outlook")(outlook_command)

RecordsOption = Annotated[Path | None, typer.Option("--records", help="Folder with bench.yaml, climate and care logs.")]
PlantOption = Annotated[str | None, typer.Option("--plant", help="Which plant of bench.yaml.")]
DateOption = Annotated[str | None, typer.Option("--date", help="Judge as of this day, YYYY-MM-DD.")]
GroupOption = Annotated[str | None, typer.Option("--group", help="Plant group, an id of the rule base.")]
StageOption = Annotated[str | None, typer.Option("--stage", help="Stage of growth, an id.")]
MediumOption = Annotated[str | None, typer.Option("--medium", help="Potting medium, an id.")]
JsonOption = Annotated[bool, typer.Option("--json", help="Print the result object as JSON.")]
HtmlOption = Annotated[Path | None, typer.Option("--html", help="Write the answer to this file, as a page.")]
OrderOption = Annotated[str | None, typer.Option("--date-order", help="day-first or month-first, for climate exports.")]

FolderOption = Annotated[Path | None, typer.Option("--folder", help="A rule base; by default the own one.")]


@app.command()
def demo() -> None:
    """The whole job on an invented plant: a letter without and with its records, side by side."""
    from diagnose.screen.demo import show_demo
    show_demo()


@app.command()
def letter(
    file: Annotated[str | None, typer.Argument(help="The letter; - or nothing reads standard input.")] = None,
    records: RecordsOption = None, plant: PlantOption = None, date: DateOption = None, group: GroupOption = None,
    stage: StageOption = None, medium: MediumOption = None, json: JsonOption = False,
    jsonl: Annotated[Path | None, typer.Option("--jsonl", help="Read one JSON object a line from this file.")] = None,
    date_order: OrderOption = None, html: HtmlOption = None,
    ask: Annotated[bool, typer.Option("--ask", help="Go on with questions on what the letter leaves open.")] = False,
    knowledge: KnowledgeOption = None,
) -> None:
    """Read a free-text description and name the likely causes."""
    if jsonl is not None:
        from diagnose.screen.letter_lines import answer_lines
        answer_lines(jsonl, date, html, knowledge)
        return
    from diagnose.screen import letter as screen
    request = screen.options(records, plant, date, group, stage, medium, date_order)
    if ask:
        screen.ask_about(file, request, json_wanted=json, html=html, knowledge=knowledge)
        return
    screen.answer_letter(file, request, json_wanted=json, html=html, knowledge=knowledge)


@knowledge_app.command("check")
def knowledge_check(folder: Annotated[Path | None, typer.Argument(help="A rule base; by default the own one.")] = None
                    ) -> None:
    """Check that the rule base can be read and is good."""
    from diagnose.screen.knowledge import check
    check(folder)


@knowledge_app.command("new")
def knowledge_new(
    cause: Annotated[str, typer.Argument(metavar="CAUSE", help="The id of the cause: small letters and underscores.")],
    kind: Annotated[str, typer.Option("--kind", help="care, climate, nutrition, pest, disease, handling or normal.")],
    folder: FolderOption = None,
) -> None:
    """Write the skeleton of a new cause file."""
    from diagnose.screen.knowledge import new_cause
    new_cause(cause, kind, folder)


@knowledge_app.command("list")
def knowledge_list(json: JsonOption = False, folder: FolderOption = None) -> None:
    """List causes, signs, groups and conditions."""
    from diagnose.screen.knowledge import list_all
    list_all(folder, as_json_wanted=json)


@knowledge_app.command("show")
def knowledge_show(name: Annotated[str, typer.Argument(metavar="ID")], folder: FolderOption = None) -> None:
    """Show one cause, sign, condition, group or rule with its sources."""
    from diagnose.screen.knowledge import show_one
    show_one(name, folder)


def run() -> None:
    """Run the command and leave with its status."""
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # the arrays are small: threads cost more than they give
    gc.set_threshold(100_000)  # what loads and opens stays: by default hundreds of rounds would look for garbage there
    _settle_streams()
    try:
        _run_and_flush()
    except InputError as error:
        for problem in error.problems[:MOST_TOLD]:
            print(harmless(str(problem)), file=sys.stderr)
        if len(error.problems) > MOST_TOLD:
            print(f"And {len(error.problems) - MOST_TOLD:,} more.", file=sys.stderr)
        sys.exit(2)
    except BrokenPipeError:
        _write_no_more()
        sys.exit(0)
    except OSError as error:
        _write_no_more()
        place, why = error.filename or "diagnose", (error.strerror or str(error)).lower()
        print(harmless(f"{place}: This cannot be read or written: {why}."), file=sys.stderr)
        sys.exit(2)
    except Exception as error:
        print(f"diagnose: a fault of the program: {type(error).__name__}: {error}", file=sys.stderr)
        sys.exit(1)


def _settle_streams() -> None:
    """A stream that is closed, or a character that an encoding lacks, is no reason to stop."""
    for name, mode in (("stdin", "r"), ("stdout", "w"), ("stderr", "w")):
        stream = getattr(sys, name)
        if stream is None:
            setattr(sys, name, open(os.devnull, mode, encoding="utf-8"))  # noqa: SIM115 - open to the end
        elif name != "stderr" and isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")


def _run_and_flush() -> None:
    """Run the command; what it printed must have gone out before its status is known."""
    try:
        app()
    except SystemExit as left:
        if isinstance(left.__context__, BrokenPipeError):  # the reader had enough, which is no fault
            raise left.__context__ from None
        raise
    finally:
        sys.stdout.flush()


def _write_no_more() -> None:
    """Let what was printed but cannot go out any more go nowhere, or it would be tried again at the very end."""
    with contextlib.suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
