"""The records in a few small lines: levels, gaps, limits, and plain characters where the terminal has no others."""

from __future__ import annotations

import dataclasses
import io

import pytest
from rich.console import Console

from diagnose.screen.small_lines import ASCII, BLOCKS, drawn, levels_of, small_lines
from tests.screen.commands import ROOT, run
from tests.screen.html.reports import demo_report, history, told, window

DEMO = ROOT / "cases" / "demo"


def printed(*, encoding: str = "utf-8", days: int = 182, width: int = 80) -> str:
    """The lines of an invented history as a terminal of an encoding shows them."""
    cause = demo_report().result.causes[0].cause
    report = dataclasses.replace(demo_report(), history=history(days, missing=frozenset(range(28, 35))),
                                 windows=(window(20, 7, "temperature_night_low", cause),))
    written = io.BytesIO()
    file = io.TextIOWrapper(written, encoding=encoding, errors="replace")
    screen = Console(file=file, width=width, highlight=False, markup=False)
    for line in small_lines(report, levels_of(screen)):
        screen.print(line)
    file.flush()
    return written.getvalue().decode(encoding)


def test_levels_run_from_least_to_most() -> None:
    """The least value has the lowest character, the most the highest; what is not known is blank."""
    assert drawn([0.0, 7.0, None, 3.5], BLOCKS) == "▁█ ▅"
    assert drawn([2.0, 2.0], ASCII) == "--"
    assert drawn([None], ASCII) == " "
    assert drawn([], ASCII) == ""


def test_each_week_has_a_character() -> None:
    """Half a year makes 26 characters a line, a week without readings a blank."""
    lines = {line.split()[0]: line[14:40] for line in printed().splitlines()[1:] if line.strip()}
    assert "The last 26 weeks" in printed()
    assert {"Nights", "Days", "Humidity", "VPD", "Light", "Water", "Watered", "Damage"} <= lines.keys()
    assert lines["Nights"][4] == " "
    assert set(lines["Nights"].replace(" ", "")) <= set(BLOCKS)
    assert lines["Damage"].rstrip() == " " * 23 + "^^"


def test_short_histories_have_a_character_a_day() -> None:
    """Three weeks are shown day by day."""
    assert "The last 21 days" in printed(days=21)


def test_limits_are_counted() -> None:
    """Beside each line stands its span and how many stretches lay outside what the group wants."""
    assert "under 16" in printed()
    assert "not 50 to 80" in printed()


@pytest.mark.parametrize("terminal", ["linux", "vt100"])
def test_plain_terminals_get_plain_characters(monkeypatch: pytest.MonkeyPatch, terminal: str) -> None:
    """A console without the block characters gets ASCII, whatever the encoding says."""
    monkeypatch.setenv("TERM", terminal)
    assert not set(BLOCKS) & set(printed())


def test_an_encoding_without_blocks_gets_plain_characters(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where only ASCII can be written, levels are ASCII and nothing stops the program."""
    monkeypatch.setenv("PYTHONIOENCODING", "ascii")
    done = run("letter", str(DEMO / "letter.txt"), "--records", str(DEMO / "records"), "--plant", "P-21", "--date",
               "2026-02-14")
    assert done.returncode == 0, done.stderr
    line = next(line for line in done.stdout.splitlines() if line.startswith("Nights"))
    assert set(line[14:40].replace(" ", "")) <= set(ASCII)


def test_without_records_there_are_no_lines() -> None:
    """A letter alone has nothing to draw."""
    assert small_lines(told("All buds drop."), BLOCKS) == ()
