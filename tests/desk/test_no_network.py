"""The desk never touches the network."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from tests.desk.folders import club_copy

FORBID = """
import socket, sys

def watch(event, arguments):
    if event in ("socket.connect", "socket.bind", "socket.getaddrinfo", "socket.gethostbyname", "socket.sendto"):
        print("network:", event, arguments, file=sys.stderr)
        raise RuntimeError("the network was touched")

sys.addaudithook(watch)
from diagnose.screen.main import app
folder = sys.argv[1]
common = ["triage", folder, "--date", "2026-04-22"]
for more in ([], ["--json"], ["--case", "2026-014"], ["--report"], ["--due"], ["--html", folder + "/page.html"],
             ["--case", "2026-018", "--reply"], ["--case", "2026-018", "--do", "answer", "--by", "V-1"]):
    app([*common, *more], standalone_mode=False)
app(["outcome", folder + "/2026-018.yaml", "--cause", "mealybug", "--result", "better", "--on", "2026-04-30"],
    standalone_mode=False)
"""


def test_nothing_of_the_desk_opens_a_connection(tmp_path: Path) -> None:
    """List, case, reply, deeds, report, pages and outcome all work where any use of the network is an error."""
    root = Path(__file__).resolve().parents[2]
    done = subprocess.run([sys.executable, "-c", FORBID, str(club_copy(tmp_path))], cwd=root, capture_output=True,
                          text=True, check=False, timeout=300)
    assert "network:" not in done.stderr
    assert done.returncode == 0, done.stderr
