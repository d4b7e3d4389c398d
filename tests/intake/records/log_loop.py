"""Logs row after row until it is killed, and says each number once its row is on the disk: ``FOLDER FIRST COUNT``."""

from __future__ import annotations

import sys
from pathlib import Path

from diagnose.intake.records.care_file import add_rows
from diagnose.intake.records.log_line import LogRow
from tests.intake.records.folders import DATE


def main() -> None:
    """Log rows with rising numbers as their detail."""
    folder, first, count = Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3])
    for number in range(first, first + count):
        add_rows(folder, [LogRow(DATE, "P-07", "treat", detail=f"round {number}")], ["P-07"])
        print(number, flush=True)


if __name__ == "__main__":
    main()
