"""No command touches the network: each runs where making a socket, or asking for an address, is an error."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

from tests.desk.folders import club_copy
from tests.intake.records.folders import log, log_rows, write_folder

ROOT = Path(__file__).resolve().parents[1]
FORBID = """
import sys, os

def watch(event, arguments):
    if event.startswith("socket.") or event in ("urllib.Request", "ftplib.connect", "http.client.connect"):
        print("network:", event, arguments, file=sys.stderr)
        os._exit(77)

sys.addaudithook(watch)
from diagnose.screen.main import app
from diagnose.screen.ask import Workbench  # opened once for all commands
opened = Workbench.open()
Workbench.open = classmethod(lambda cls, folder=None: opened)
folder, records = sys.argv[1:]
triage = ["triage", folder, "--date", "2026-04-22"]
page = ["--html", folder + "/page.html"]
common = ["--records", records, "--date", "2026-03-02"]
with open(folder + "/letters.jsonl", "w") as file:
    file.write('{"id": 1, "letter": "The leaves are limp."}')
COMMANDS = [
    ["demo"], ["letter", "cases/letters/buds.txt"], ["letter", "cases/letters/buds.txt", "--json"],
    ["letter", "cases/letters/buds.txt", *common, "--plant", "P-07", *page],
    ["letter", "--jsonl", folder + "/letters.jsonl"],
    ["ask", "--answers", "cases/letters/answers.yaml"], ["ask", "--group", "phalaenopsis"],
    ["outlook", *common], ["outlook", *common, "--json"], ["log", *common, "watered", "all"],
    ["log", "--undo", *common[:2]],
    ["knowledge", "list"], ["knowledge", "show", "scale"], ["knowledge", "check", "tests/data/small_base"],
    triage, [*triage, "--json"], [*triage, "--case", "2026-014"], [*triage, "--report"], [*triage, "--due"],
    [*triage, *page], [*triage, "--case", "2026-018", "--reply"],
    [*triage, "--case", "2026-018", "--do", "answer", "--by", "V-1"], [*triage, "--add", "cases/letters/buds.txt"],
    [*triage, "--frequencies", "book"],
    ["outcome", folder + "/2026-018.yaml", "--cause", "mealybug", "--result", "better", "--on", "2026-04-30"],
]
for command in COMMANDS:
    app(command, standalone_mode=False)
print("commands done:", " ".join(sorted({command[0] for command in COMMANDS})), file=sys.stderr)
"""


def test_no_command_opens_a_connection(tmp_path: Path) -> None:
    """Every command of the program, in a process that ends at the first sign of a socket."""
    records = write_folder(tmp_path / "bench", care="2026-02-01,P-07,water,,,\n", east_window=log(log_rows(9, 60)))
    places = {"XDG_CACHE_HOME": str(tmp_path / "cache"), "XDG_STATE_HOME": str(tmp_path / "state")}
    done = subprocess.run([sys.executable, "-c", FORBID, str(club_copy(tmp_path)), str(records)], cwd=ROOT, input="",
                          capture_output=True, text=True, check=False, timeout=300, env={**os.environ, **places})
    assert "network:" not in done.stderr
    assert done.returncode == 0, done.stderr
    assert done.stderr.splitlines()[-1] == "commands done: ask demo knowledge letter log outcome outlook triage"
