"""README tells the truth: its transcripts are run again and its first two commands set up all they need."""

from __future__ import annotations

import re

import pytest

from tests.transcripts import README, Transcript, run, transcripts


@pytest.mark.parametrize("transcript", list(transcripts()), ids=lambda transcript: transcript.command)
def test_transcript_is_what_the_command_prints(transcript: Transcript) -> None:
    """Each command of README prints exactly what README shows."""
    assert run(transcript.command) == transcript.output


def test_first_two_commands_set_up_all_they_need() -> None:
    """The first two fenced lines build a virtual environment each; the first ends in the demo, the second in tests."""
    blocks = re.findall(r"^```sh\n(.*?)^```$", README.read_text(encoding="utf-8"), re.MULTILINE | re.DOTALL)
    first, second = [line for block in blocks for line in block.splitlines() if line][:2]
    assert "-m venv" in first
    assert first.rstrip().endswith("diagnose demo")
    assert "-m venv" in second
    assert "pytest" in second
