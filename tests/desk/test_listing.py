"""The list over a folder: nothing stops it, and what is kept between runs is never wrong."""

from __future__ import annotations

import datetime as dt
import functools
import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from diagnose.desk import listing
from diagnose.desk.change import do, set_outcome
from diagnose.desk.desk import Desk
from diagnose.desk.judge import Judge
from diagnose.desk.keep import Store, program_digest
from diagnose.model.cases import Deed, DeskCase, Outcome
from diagnose.problems import InputError
from tests.desk.folders import CLUB, club_copy, share_workbench, write_case

TODAY = dt.date(2026, 4, 22)


@pytest.fixture(autouse=True)
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A store of its own for each test; the rule base is opened once and counts as unchanged."""
    share_workbench(monkeypatch)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.setattr(listing, "program_digest", lambda knowledge, priors: f"{sorted(priors.items())}".encode().hex())
    return tmp_path / "cache"


@pytest.fixture
def judged(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The files that were judged afresh, in order."""
    names: list[str] = []
    real = Judge.glance

    def watched(self: Judge, raw: bytes, path: Path, shown: str, today: dt.date) -> DeskCase:
        names.append(shown)
        return real(self, raw, path, shown, today)

    monkeypatch.setattr(Judge, "glance", watched)
    return names


@functools.cache
def opened() -> Desk:
    """A desk opened once for all tests."""
    return Desk.open(CLUB, TODAY)


def cases_of(folder: Path, today: dt.date = TODAY) -> list[DeskCase]:
    """The cases of a folder."""
    return replace(opened(), folder=folder, today=today).cases()


def test_the_club_is_read_whole() -> None:
    """Forty invented cases: all can be read, each says that it is invented, all states are there."""
    cases = cases_of(CLUB)
    assert len(cases) == 40
    assert [case.problem for case in cases if case.problem] == []
    assert {case.case_file.state for case in cases} == {"new", "asked", "answered", "closed"}
    assert all(path.read_text(encoding="utf-8").startswith("# Invented") for path in CLUB.glob("*.yaml"))


def test_the_glance_is_the_full_result_in_short() -> None:
    """For every case of the club: the same causes and figures as the full result, and the same questions."""
    desk = opened()
    for case in desk.cases():
        result = desk.one(case.case_file.case).result
        assert case.glance is not None
        assert [(share.cause, share.probability) for share in case.glance.shares] == [
            (cause.cause, cause.probability) for cause in result.causes]
        assert case.glance.verdict == result.verdict
        if case.case_file.state in ("new", "asked"):
            assert [missing.sign for missing in case.glance.missing] == [ask.sign for ask in result.ask_next]


def test_bad_files_are_named_and_the_rest_goes_on(tmp_path: Path) -> None:
    """Broken, binary, empty and odd files become entries with a problem; good ones beside them are judged."""
    folder = tmp_path / "cases"
    folder.mkdir()
    write_case(folder, "good")
    write_case(folder, "odd", plant="{group: phal, stage: x}", answers="{no_such_sign: yes}",
               records="{folder: records/none, plant: P-1}")
    (folder / "broken.yaml").write_text("case: [\n")
    (folder / "binary.yaml").write_bytes(b"\x00\xff")
    (folder / "empty.yaml").write_text("")
    (folder / "gone.yaml").symlink_to(folder / "nowhere")
    found = {case.case_file.file: case for case in cases_of(folder)}
    assert len(found) == 6
    assert {name for name, case in found.items() if case.glance is None} == {
        "broken.yaml", "binary.yaml", "empty.yaml", "gone.yaml"}
    assert all(found[name].problem for name in found if name != "good.yaml")
    assert found["good.yaml"].problem == ""
    for word in ("phal", "no_such_sign", "records/none"):
        assert word in found["odd.yaml"].problem
    ranked = opened().ranked(list(found.values()))
    assert {entry.case.case_file.file for entry in ranked[:2]} == {"good.yaml", "odd.yaml"}


def test_a_fault_in_one_case_is_its_problem_alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """If judging one case fails for a reason nobody foresaw, that case says so, and it is tried again next time."""
    write_case(tmp_path, "a", "boom")
    write_case(tmp_path, "b")
    real = Judge.glance

    def failing(self: Judge, raw: bytes, path: Path, shown: str, today: dt.date) -> DeskCase:
        if shown == "a.yaml":
            raise RuntimeError("unforeseen")
        return real(self, raw, path, shown, today)

    with monkeypatch.context() as patched:
        patched.setattr(Judge, "glance", failing)
        first, second = cases_of(tmp_path)
    assert "unforeseen" in first.problem
    assert second.glance is not None
    assert cases_of(tmp_path)[0].glance is not None


def test_nothing_is_judged_twice(tmp_path: Path, judged: list[str]) -> None:
    """A second listing judges nothing; after one changed file it judges that file; both lists are those of no store."""
    folder = club_copy(tmp_path)
    first = cases_of(folder)
    judged.clear()
    assert cases_of(folder) == first
    assert judged == []
    with (folder / "2026-014.yaml").open("a") as file:
        file.write("# a comment\n")
    assert cases_of(folder) == first
    assert judged == ["2026-014.yaml"]


def test_records_count_as_the_case_does(tmp_path: Path, judged: list[str]) -> None:
    """A changed line of a care log is a change of the case it belongs to, and of no other."""
    folder = club_copy(tmp_path)
    cases_of(folder)
    judged.clear()
    with (folder / "records/m27/care.csv").open("a") as file:
        file.write("2026-03-25,P-07,water,,,\n")
    cases_of(folder)
    assert judged == ["2026-014.yaml"]


def test_another_rule_base_or_other_frequencies_begin_afresh(tmp_path: Path) -> None:
    """The store of one rule base, or of one set of priors, is never used for another."""
    knowledge = tmp_path / "knowledge"
    knowledge.mkdir()
    (knowledge / "a.yaml").write_text("a: 1\n")
    before = program_digest(knowledge, {"scale": 0.1})
    assert program_digest(knowledge, {"scale": 0.2}) != before
    (knowledge / "a.yaml").write_text("a: 2\n")
    assert program_digest(knowledge, {"scale": 0.1}) != before
    store = Store(tmp_path, "one")
    store.begin([])
    assert Store(tmp_path, "two").read() == {}


def test_a_damaged_store_does_no_harm(tmp_path: Path, cache: Path) -> None:
    """Cut short, scrambled, of another make or gone: the list is the same."""
    folder = club_copy(tmp_path)
    first = cases_of(folder)
    (store,) = (cache / "diagnose" / "triage").iterdir()
    whole = store.read_bytes()
    for damaged in (whole[:-200], whole.replace(b"mealybug", b"whitefly"), b"", b"\xff" * 100, whole + b"\n{}"):
        store.write_bytes(damaged)
        assert cases_of(folder) == first
    shutil.rmtree(cache)
    assert cases_of(folder) == first


def test_a_store_that_cannot_be_written_is_done_without(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where there is no place to keep anything, the list is made all the same."""
    (tmp_path / "file").write_text("")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "file"))
    write_case(tmp_path, "a")
    assert len(cases_of(tmp_path)) == 1


def test_a_case_without_a_day_is_judged_as_of_today(tmp_path: Path, judged: list[str]) -> None:
    """It is judged again on another day, and its missing day is said."""
    write_case(tmp_path, "a", received="")
    assert "day the letter came" in cases_of(tmp_path)[0].problem
    cases_of(tmp_path)
    assert len(judged) == 1
    cases_of(tmp_path, TODAY + dt.timedelta(days=1))
    assert len(judged) == 2


def test_two_files_of_one_case_are_pointed_out(tmp_path: Path) -> None:
    """A copy that a synchronised folder made is found, and the case cannot be changed until one is left."""
    write_case(tmp_path, "1")
    (tmp_path / "1 (copy of V-2).yaml").write_text((tmp_path / "1.yaml").read_text())
    assert all("The same case stands in" in case.problem for case in cases_of(tmp_path))
    with pytest.raises(InputError, match="several files"):
        replace(opened(), folder=tmp_path).one("1")


def test_work_that_vanished_is_noticed(tmp_path: Path) -> None:
    """If an older copy of a file was written over ours, the next list says whose entry is gone."""
    path = write_case(tmp_path, "1")
    older = path.read_bytes()
    do(path, tmp_path, Deed("take", "V-2", TODAY))
    cases_of(tmp_path)
    path.write_bytes(older)
    assert '"take" by V-2 on 2026-04-22 is gone' in cases_of(tmp_path)[0].problem


def test_many_cases_are_shared_among_processes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """With other processes at work the list is the same as alone, and progress is told to the end."""
    alone = cases_of(CLUB)
    folder = club_copy(tmp_path)
    monkeypatch.setattr(listing, "ALONE_UP_TO", 5)
    monkeypatch.setattr(listing, "_cores", lambda: 2)
    told: list[tuple[int, int]] = []
    found = replace(opened(), folder=folder).cases(lambda done, total: told.append((done, total)))
    assert found == alone
    assert told[-1] == (40, 40)
    assert [done for done, _ in told] == sorted(done for done, _ in told)


def test_the_club_can_move_the_priors_and_go_back(tmp_path: Path) -> None:
    """Switching on writes the counts down and changes judgements; switching off gives the book's again, exactly."""
    folder = club_copy(tmp_path)
    number = 0
    for path in sorted(folder.glob("2026-0*.yaml")):
        if number < 10 and "outcome:" not in path.read_text():
            set_outcome(path, folder, Outcome("scale", "better", dt.date(2026, 4, 21)), Deed("outcome", "V-1", TODAY))
            number += 1
    desk = Desk.open(folder, TODAY)
    book, cases = desk.priors(), desk.cases()
    club, _ = desk.use_club(cases)
    moved = Desk.open(folder, TODAY)
    assert club.counts["scale"] == 11
    weight = desk.judge.rules.club.book_cases
    assert moved.priors()["scale"] == pytest.approx((book["scale"] * weight + 11) / (weight + 29))
    assert moved.cases() != cases
    moved.use_book()
    back = Desk.open(folder, TODAY)
    assert back.priors() == book
    assert back.cases() == cases
    assert back.club.counts == club.counts


def test_too_few_outcomes_move_nothing(tmp_path: Path) -> None:
    """The club's frequencies cannot be switched on with a handful of outcomes."""
    write_case(tmp_path, "1", outcome="{cause: scale, result: better, on: 2026-04-10}")
    desk = replace(opened(), folder=tmp_path)
    with pytest.raises(InputError, match="it takes"):
        desk.use_club(desk.cases())
    assert not (tmp_path / "club.yaml").exists()
