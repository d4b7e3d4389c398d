"""What the closed cases teach, in the terminal: how right we were, and the club's frequencies beside the book's."""

from __future__ import annotations

from rich.console import Console
from rich.table import Table
from rich.text import Text

from diagnose.desk.club import Club
from diagnose.model.cases import RESULTS
from diagnose.model.knowledge import KnowledgeBase
from diagnose.reason.calibration import Band, CauseCount, Report
from diagnose.screen.card import percent
from diagnose.screen.harmless import harmless

__all__ = ["BAND_HEADS", "CAUSE_HEADS", "band_row", "cause_row", "club_words", "show_report", "summary"]

BAR = 20
BAND_HEADS = ("we said", "times", "on average", "so it was", "95 % interval")
CAUSE_HEADS = ("cause", "cases", "share here", "95 % interval", "book", "both", *RESULTS)


def show_report(console: Console, base: KnowledgeBase, report: Report, club: Club) -> None:
    """Print the report."""
    for line in summary(report):
        console.print(Text(line))
    if report.bands:
        console.print(Text("\nHow right we were at each confidence", style="bold"))
        console.print(_table((*BAND_HEADS, ""), [(*band_row(band), _bar(band)) for band in report.bands]))
        console.print(Text("In the bar: | what we said, o how often it was so, - its interval.", style="dim"))
    if report.causes:
        console.print(Text("\nWhat it proved to be", style="bold"))
        console.print(_table(CAUSE_HEADS, [cause_row(base, row) for row in report.causes]))
    console.print(Text(f"\n{club_words(club)}"))


def summary(report: Report) -> list[str]:
    """The report in a few sentences."""
    if not report.cases:
        return ["No outcome is known yet. Record one with:",
                "diagnose outcome CASE_FILE --cause ID --result WORD --on DATE"]
    lines = [f"Outcomes known: {report.cases}. The true cause came first in {report.first_right} of the "
             f"{report.judged} that were judged, and was named at all in {report.named}."]
    if report.brier is not None and report.calibration_error is not None:
        lines.append(f"Mean squared error of what we said (0 is best): {report.brier:.3f}. Mean distance between what "
                     f"we said and how often it was so: {report.calibration_error:.1%}.")
    if report.unknown_causes:
        lines.append(f"Not in the rule base: {', '.join(harmless(cause) for cause in report.unknown_causes)}.")
    return lines


def band_row(band: Band) -> tuple[str, ...]:
    """A band as the cells of a table."""
    low, high = band.interval
    return (f"{band.from_:.0%} to {band.to:.0%}", str(band.count), f"{band.said:.0%}", f"{band.share:.0%}",
            f"{low:.0%} to {high:.0%}")


def cause_row(base: KnowledgeBase, row: CauseCount) -> tuple[str, ...]:
    """A cause as the cells of a table."""
    low, high = row.interval
    return (base.causes[row.cause].name, str(row.count), percent(row.count / row.of), f"{low:.0%} to {high:.0%}",
            f"{row.book:.1%}", f"{row.both:.1%}", *map(str, row.results))


def club_words(club: Club) -> str:
    """Whether the club's own frequencies are used, and how to change that."""
    total = sum(club.counts.values())
    if club.use and club.until:
        return (f"Judgements use the club's own frequencies: {total} outcomes until {club.until.isoformat()}, with the "
                f"book counting for {club.book_cases:g} cases. Back to the book alone: --frequencies book")
    return "Judgements use the book's frequencies alone. Let the club's own outcomes count as well: --frequencies club"


def _bar(band: Band) -> str:
    low, high = (round(edge * BAR) for edge in band.interval)
    cells = ["-" if low <= place <= high else " " for place in range(BAR + 1)]
    cells[round(band.said * BAR)] = "|"
    cells[round(band.share * BAR)] = "o"
    return "".join(cells)


def _table(heads: tuple[str, ...], rows: list[tuple[str, ...]]) -> Table:
    table = Table(box=None, padding=(0, 1), header_style="dim")
    for number, head in enumerate(heads):
        table.add_column(head, justify="left" if number == 0 or not head else "right", overflow="fold",
                         no_wrap=not head)
    for row in rows:
        table.add_row(*(Text(harmless(cell)) if cell.strip() else Text(cell) for cell in row))
    return table
