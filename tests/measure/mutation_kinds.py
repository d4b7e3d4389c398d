"""The kinds of input that are damaged, each with good samples and the commands that read it."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from random import Random
from typing import Final

from diagnose.intake.session_files import session_text
from diagnose.model.session import Reply, Session
from tests.intake.records.folders import BENCH, DATE, log, log_rows, write_folder
from tests.measure.mutate import mutated
from tests.small import small_folder

__all__ = ["KINDS", "PAGE", "Trial"]

ROOT: Final = Path(__file__).resolve().parents[2]
DATA: Final = ROOT / "tests" / "data"
PAGE: Final = "page.html"
DAY: Final = DATE.isoformat()
CARE: Final = """date,plant,action,amount,unit,detail
2025-12-20,P-07,arrive,,,from a friend
2026-01-10,P-07,repot,,,bark
2026-02-01,P-07,water,300,ml,
2026-02-08,P-07,feed,150,ppm N,20-20-20; pH 6.0
2026-02-09,*,soak,20,min,rain water
2026-02-10,P-07,move,,,to the hall
2026-02-12,P-07,stage,,,in_bud
2026-02-20,P-07,seen,,,leaf_limp
2026-02-24,P-07,seen,,,"black spots, on one leaf"
2026-02-26,P-07,weigh,812,g,
"""
SAID: Final = ("fed P-07 150 ppm N", "watered all", "moved P-07 to balcony", "P-07 in bud", "saw P-07 black spots",
               "treated P-07 alcohol", "repotted P-07 bark", "weighed P-07 812 g", "flushed P-07 2 l, yesterday")
MAIL: Final = b"""From: Somebody Invented <somebody@example.org>
Date: Mon, 02 Mar 2026 10:00:00 +0000
Subject: my orchid
MIME-Version: 1.0
Content-Type: multipart/alternative; boundary="cut"

--cut
Content-Type: text/plain; charset=utf-8
Content-Transfer-Encoding: quoted-printable

The leaves of my phal are limp =E2=80=93 and the roots are brown.
--cut
Content-Type: text/html; charset=utf-8

<p>The leaves of my phal are <b>limp</b>.</p>
--cut--
"""


@dataclass(frozen=True)
class Trial:
    """One run: the words after ``diagnose``, standard input, and what a run that is done may change in the folder."""

    arguments: tuple[str, ...]
    typed: bytes = b""
    may_change: tuple[str, ...] = ()

    @property
    def output(self) -> str:
        """What standard output must hold: json, lines of json, or text."""
        return "lines" if "--jsonl" in self.arguments else "json" if "--json" in self.arguments else "text"


@cache
def _letters() -> tuple[bytes, ...]:
    texts = [json.loads(line)["letter"] for name in ("letters_dev.jsonl", "letters_invented.jsonl")
             for line in (DATA / name).read_text(encoding="utf-8").splitlines()]
    return tuple(text.encode() for text in texts)


@cache
def _files(pattern: str, most: int = 100_000) -> tuple[bytes, ...]:
    found = (path.read_bytes() for path in sorted(ROOT.glob(pattern)))
    return tuple(raw for raw in found if len(raw) <= most)


def _form(chance: Random, folder: Path) -> tuple[str, ...]:
    """How the answer is wanted: as a card, as JSON, or as a page."""
    return chance.choice(((), ("--json",), ("--json",), ("--html", str(folder / PAGE))))


def _letter(chance: Random, folder: Path) -> Trial:
    date, raw = ("--date", DAY), mutated(chance.choice(_letters()), _letters(), chance)
    where = chance.randrange(10)
    if where == 0:
        letters = [chance.choice(_letters()).decode() for _ in range(2)]
        lines = b"\n".join(json.dumps({"id": "a", "letter": letter, "date": DAY}).encode() for letter in letters)
        (folder / "letters.jsonl").write_bytes(mutated(lines, _letters(), chance))
        return Trial(("letter", "--jsonl", str(folder / "letters.jsonl"), *date))
    if where == 1:
        return Trial(("letter", "-", *date, *_form(chance, folder)), raw)
    (folder / "letter.txt").write_bytes(raw)
    return Trial(("letter", str(folder / "letter.txt"), *date, *_form(chance, folder)))


def _read_records(chance: Random, folder: Path) -> Trial:
    """A command that reads a records folder."""
    common = ("--records", str(folder), "--date", DAY)
    if chance.random() < 0.5:
        return Trial(("outlook", *common, *chance.choice(((), ("--json",)))))
    return Trial(("letter", "-", *common, "--plant", "P-07", *_form(chance, folder)), b"The leaves are limp.")


def _log(chance: Random, folder: Path) -> Trial:
    write_folder(folder)
    care, bench, said = CARE.encode(), BENCH.encode(), chance.choice(SAID)
    what = chance.randrange(10)
    if what < 6:
        care = mutated(care, _files("cases/*/records/**/care.csv"), chance)
    elif what < 8:
        bench = mutated(bench, _files("cases/**/bench.yaml"), chance)
    else:
        said = mutated(said.encode(), [b"water"], chance).replace(b"\0", b"").decode("utf-8", "surrogateescape")
    (folder / "care.csv").write_bytes(care)
    (folder / "bench.yaml").write_bytes(bench)
    if what < 8 and chance.random() < 0.7:
        return _read_records(chance, folder)
    more = ("--undo",) if chance.random() < 0.05 else ("--", said)
    return Trial(("log", "--records", str(folder), "--date", DAY, *more), may_change=("care.csv",))


@cache
def _exports() -> tuple[bytes, ...]:
    rows = log_rows(8, 120)
    other = "Zeit;Temperatur (°C);rel. Feuchte (%)\n" + "".join(
        f"{line[8:10]}.{line[5:7]}.{line[:4]} {line[11:16]};{line.split(',')[1].replace('.', ',')};55\n"
        for line in rows)
    return (log(rows).encode(), other.encode("cp1252"), *_files("tests/data/logger_exports/*.csv"))


def _climate(chance: Random, folder: Path) -> Trial:
    raw = chance.choice(_exports()[:2] if chance.random() < 0.6 else _exports())
    write_folder(folder, care=CARE.partition("\n")[2], east_window=mutated(raw, _exports(), chance))
    return _read_records(chance, folder)


_CASE_USES: Final[Sequence[tuple[tuple[str, ...], tuple[str, ...]]]] = (
    (("--json",), ()), (("--json",), ()), ((), ()), (("--due",), ()), (("--report",), ()), (("--case", "ID"), ()),
    (("--case", "ID", "--json"), ()),
    (("--case", "ID", "--do", "take", "--by", "V-2", "--note", "[red]x"), ("case.yaml",)),
    (("--case", "ID", "--do", "answer", "--by", "V-2"), ("case.yaml",)), (("--html", "PAGE"), ()),
    (("--case", "ID", "--html", "PAGE"), ()), (("--case", "ID", "--reply"), ("replies",)),
    (("--report", "--html", "PAGE"), ()),
    (("--frequencies", "club"), ("club.yaml",)), (("--frequencies", "book"), ("club.yaml",)))


def _case(chance: Random, folder: Path) -> Trial:
    cases = _files("cases/club/*.yaml")
    raw = chance.choice(cases[1:])
    case = raw.decode().partition("\ncase: ")[2].split()[0]
    what = chance.randrange(12)
    if what == 0:
        return _taken_in(chance, folder)
    if what == 1:
        club = b"frequencies: {use: yes, book_cases: 40, until: 2026-04-01, counts: {scale: 11, dry_air: 3}}\n"
        (folder / "club.yaml").write_bytes(mutated(club, cases, chance))
    (folder / "case.yaml").write_bytes(mutated(raw, cases, chance))
    if what == 2:
        found = ("--cause", "scale", "--result", "better", "--on", "2026-05-01")
        return Trial(("outcome", str(folder / "case.yaml"), *found), may_change=("case.yaml",))
    (folder / "good.yaml").write_bytes(cases[0])
    words, may_change = chance.choice(_CASE_USES)
    words = tuple({"ID": case, "PAGE": str(folder / PAGE)}.get(word, word) for word in words)
    return Trial(("triage", str(folder), "--date", "2026-04-22", *words), may_change=may_change)


def _taken_in(chance: Random, folder: Path) -> Trial:
    """Letters and mails that are made into cases."""
    (folder / "cases").mkdir()
    kind = chance.choice(("eml", "txt"))
    letters = folder / f"letters.{kind}"
    letters.write_bytes(mutated(MAIL if kind == "eml" else chance.choice(_letters()), [MAIL, *_letters()[:9]], chance))
    return Trial(("triage", str(folder / "cases"), "--date", DAY, "--add", str(letters)), may_change=("cases",))


def _rules(chance: Random, folder: Path) -> Trial:
    base = folder / "base"
    shutil.copytree(small_folder(), base)
    paths = sorted(path for path in base.rglob("*.yaml"))
    path = chance.choice(paths)
    path.write_bytes(mutated(path.read_bytes(), _files("tests/data/small_base/**/*.yaml"), chance))
    return Trial(("knowledge", "check", str(base)))


@cache
def _answers() -> tuple[bytes, ...]:
    return (*_files("cases/letters/answers.yaml"), b"leaf_limp: yes\nroots_rotten: no\npot_feels_light: unsure\n")


@cache
def _session() -> bytes:
    replies = (Reply("opening", ("leaf_limp", "roots_rotten")),)
    return session_text(Session(DATE, "The leaves are limp.", True, group="phalaenopsis", replies=replies)).encode()


def _answer(chance: Random, folder: Path) -> Trial:
    path = folder / "answers.yaml"
    if chance.random() < 0.6:
        path.write_bytes(mutated(chance.choice(_answers()), _answers(), chance))
        return Trial(("ask", "--answers", str(path), "--date", DAY, *_form(chance, folder)))
    session = _session()
    path.write_bytes(mutated(session, _answers(), chance) if chance.random() < 0.6 else session)
    typed = mutated(b"1\n2\nyes\nwhy\nback\nno\nunsure\nwhat if\n3\n\nquit\n", [b"1\n" * 9], chance)
    return Trial(("ask", "--resume", str(path), *_form(chance, folder)), typed, (path.name,))


KINDS: Final[Mapping[str, Callable[[Random, Path], Trial]]] = {
    "letters": _letter, "logs": _log, "climate": _climate, "cases": _case, "rules": _rules, "answers": _answer}
