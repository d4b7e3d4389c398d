"""Reading case files: what is good serves, what is bad is said, nothing leads out of the folder."""

from __future__ import annotations

import datetime as dt
import os
from pathlib import Path

import pytest

from diagnose.intake.case_files import case_paths, inside, parse_case, paths_of_case, read_raw
from diagnose.model.cases import CaseState, Outcome
from diagnose.model.facts import State
from diagnose.problems import InputError
from tests.desk.folders import write_case

WHOLE = """case: 2026-014
received: 2026-03-02
member: M-27
letter: |
  The leaves are limp.
plant: {group: miltoniopsis, stage: growth_forming, medium: bark}
records: {folder: records/m27, plant: P-07}
answers: {pot_dries_fast: yes, leaf_limp: no, roots_rotten: unsure}
context: {show: spring}
state: answered
taken_by: V-2
outcome: {cause: dry_air, result: better, on: 2026-04-10}
look_again: 2026-03-20
history:
  - {on: 2026-03-03, by: V-2, did: answer, said: {dry_air: 0.83}}
own: {kept: yes}
"""


def codes(text: str) -> list[str]:
    """The codes of the problems of a case file."""
    return [problem.code for problem in parse_case(text.encode(), "f.yaml").problems]


def test_every_key_is_read() -> None:
    """All that the file says is there, and a key that is not known is no problem."""
    case = parse_case(WHOLE.encode(), "f.yaml")
    assert (case.case, case.received, case.member) == ("2026-014", dt.date(2026, 3, 2), "M-27")
    assert (case.group, case.stage, case.medium) == ("miltoniopsis", "growth_forming", "bark")
    assert (case.records_folder, case.records_plant) == ("records/m27", "P-07")
    assert case.answers == (("pot_dries_fast", State.PRESENT), ("leaf_limp", State.ABSENT),
                            ("roots_rotten", State.UNSURE))
    assert (case.state, case.taken_by, case.context) == (CaseState.ANSWERED, "V-2", (("show", "spring"),))
    assert case.outcome == Outcome("dry_air", "better", dt.date(2026, 4, 10))
    assert case.history[0].said == (("dry_air", 0.83),)
    assert case.problems == ()


@pytest.mark.parametrize(("text", "code"), [
    ("received: 2026-03-02\nletter: x\n", "no-case-id"),
    ("case: 1\nletter: x\n", "no-date"),
    ("case: 1\nreceived: 03/02/2026\nletter: x\n", "not-a-date"),
    ("case: 1\nreceived: 2026-03-02\n", "no-letter"),
    ("case: 1\nreceived: 2026-03-02\nletter: x\nstate: open\n", "unknown-word"),
    ("case: 1\nreceived: 2026-03-02\nletter: x\nstat: new\n", "unknown-key"),
    ("case: 1\nreceived: 2026-03-02\nletter: x\nanswers: {leaf_limp: perhaps}\n", "bad-answer"),
    ("case: 1\nreceived: 2026-03-02\nletter: x\noutcome: {cause: scale}\n", "outcome-incomplete"),
    ("case: 1\nreceived: 2026-03-02\nletter: x\nhistory: [{by: V-1}]\n", "bad-history"),
    (f"case: 1\nreceived: 2026-03-02\nletter: {'leaf ' * 20_001}\n", "letter-too-long"),
    ("case: \"\\e[31m\"\nreceived: 2026-03-02\nletter: x\n", "bad-case-id"),
])
def test_a_mistake_is_named_and_the_rest_serves(text: str, code: str) -> None:
    """Each mistake comes as a problem of its own; the case is read all the same."""
    assert code in codes(text)


@pytest.mark.parametrize("folder", ["/etc", "../other", "a/../../b", "C:/x", "a\\..\\b", "~root/../.."])
def test_records_never_lead_out(folder: str) -> None:
    """A path that could leave the folder is refused before anything is read."""
    case = parse_case(f"case: 1\nreceived: 2026-03-02\nletter: x\nrecords: {{folder: '{folder}'}}\n".encode(), "f")
    assert case.records_folder == ""
    assert [problem.code for problem in case.problems] == ["leads-out"]


@pytest.mark.parametrize("name", ["x" * 5000, "x/" * 5000, "a\0b", "loop"])
def test_a_name_that_no_file_can_have_means_no_folder(tmp_path: Path, name: str) -> None:
    """Too long, with a zero byte, or a link to itself."""
    (tmp_path / "loop").symlink_to("loop")
    assert inside(tmp_path, name) is None or not (tmp_path / name).is_dir()


def test_a_link_that_leads_out_is_seen(tmp_path: Path) -> None:
    """A records folder or case file that is a link to somewhere else does not count as inside."""
    club = tmp_path / "club"
    club.mkdir()
    (tmp_path / "secret").mkdir()
    outside = write_case(tmp_path, "outside")
    os.symlink(tmp_path / "secret", club / "records")
    os.symlink(outside, club / "linked.yaml")
    assert inside(club, "records") is None
    with pytest.raises(InputError, match="leads out"):
        read_raw(club / "linked.yaml", club)


@pytest.mark.parametrize("raw", [b"", b"\x00\x01", b"\xff\xfe\x00", b"- a\n- b\n", b"case: [\n", b"a: &x 1\nb: *x\n"])
def test_what_is_no_case_file_is_one_clear_message(raw: bytes) -> None:
    """Binary, empty, listed or broken files raise InputError, never anything else."""
    with pytest.raises(InputError):
        parse_case(raw, "f.yaml")


def test_tabs_and_control_signs_in_a_letter_do_no_harm() -> None:
    """A letter that was pasted with tabs and escape signs is read; each becomes a blank."""
    case = parse_case(b"case: 1\nreceived: 2026-03-02\nletter: |\n  limp\tand \x1b[31mred\n", "f")
    assert case.letter == "limp and  [31mred"


def test_which_files_are_cases(tmp_path: Path) -> None:
    """Case files lie anywhere below; records, replies, hidden files and the club's settings are none."""
    for place in ("2026", "records/m1", "replies"):
        (tmp_path / place).mkdir(parents=True)
    wanted = [write_case(tmp_path, "a"), write_case(tmp_path / "2026", "b")]
    for name in ("records/m1/bench.yaml", "replies/x.yaml", ".hidden.yaml", "club.yaml", "notes.txt"):
        (tmp_path / name).write_text("x: 1\n")
    assert case_paths(tmp_path) == sorted(wanted, key=str)


def test_a_case_is_found_by_its_id(tmp_path: Path) -> None:
    """Whatever the file is called and however the id is written, the case is found; others are not."""
    write_case(tmp_path, "2026-014")
    other = tmp_path / "letter.yaml"
    other.write_text("# c\ncase: '2026-01'  # x\nletter: case 2026-014\n")
    flow = tmp_path / "flow.yml"
    flow.write_text("{case: 7, letter: x}\n")
    assert paths_of_case(tmp_path, "2026-01") == [other]
    assert paths_of_case(tmp_path, "7") == [flow]
    assert paths_of_case(tmp_path, "2026-01.") == []
