"""The triage command as a volunteer uses it, on the forty invented cases of the club."""

from __future__ import annotations

import json
import os
import re
import sys
from pathlib import Path
from typing import Any

import pytest

from diagnose.desk import listing
from diagnose.problems import InputError
from diagnose.screen.main import app
from tests.desk.folders import CLUB, club_copy, share_workbench, write_case

ON = ("--date", "2026-04-22")
ESCAPES = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")
NASTY = ('"White fluff \\e[31m<b>in the axils</b>\\e]0;title\\a, leaf sticky. ![p](http://e.invalid/p) `x` *y* '
         '<script>alert(1)</script> \\u202eabc"')


@pytest.fixture(autouse=True)
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A store of its own for each test; a screen of a fixed width; one rule base for all."""
    share_workbench(monkeypatch)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.setenv("COLUMNS", "100")
    monkeypatch.setattr(listing, "program_digest", lambda knowledge, priors: f"{sorted(priors.items())}".encode().hex())


def triage(capsys: pytest.CaptureFixture[str], folder: Path, *options: str) -> str:
    """What the command prints."""
    app(["triage", str(folder), *ON, *options], standalone_mode=False)
    return capsys.readouterr().out


def json_of(capsys: pytest.CaptureFixture[str], folder: Path, *options: str) -> Any:
    """The list as JSON."""
    return json.loads(triage(capsys, folder, "--json", *options))


def test_json_is_as_agreed(capsys: pytest.CaptureFixture[str]) -> None:
    """Every case with the agreed keys, worst first; the outbreak and what is due beside them."""
    found = json_of(capsys, CLUB)
    assert set(found) == {"cases", "outbreaks", "due"}
    assert len(found["cases"]) == 40
    keys = {"case", "file", "state", "received", "taken_by", "urgency", "score", "causes", "missing", "problem"}
    assert all(keys <= set(case) for case in found["cases"])
    scores = [case["score"] for case in found["cases"]]
    assert scores == sorted(scores, reverse=True)
    assert all(set(cause) >= {"cause", "probability"} for case in found["cases"] for cause in case["causes"])


def test_the_outbreak_of_the_show_is_found(capsys: pytest.CaptureFixture[str]) -> None:
    """Mealybugs after the spring show: the five cases are named, with the test and its p-value; nothing else is."""
    found = json_of(capsys, CLUB)["outbreaks"]
    assert {outbreak["cause"] for outbreak in found} == {"mealybug"}
    assert found[0]["shared"] == {"show": "spring-show-2026"}
    assert found[0]["cases"] == [f"2026-{number:03d}" for number in range(16, 21)]
    assert found[0]["p_value"] < 0.001
    text = triage(capsys, CLUB)
    assert "going round" in text
    assert "Binomial tail p =" in text
    assert "Tell everybody with a plant of show spring-show-2026" in " ".join(text.split())


def test_the_list_says_what_matters(capsys: pytest.CaptureFixture[str]) -> None:
    """Each case: plant, how soon, cause with its grade, what is missing, who has it."""
    text = " ".join(triage(capsys, CLUB, "--per-page", "40").split())
    for words in ("2026-018 Oncidium alliance this week new, waits 10 days nobody has it", "V-3 has it",
                  "Mealybugs: very likely", "missing: ", "4 to be looked at again are due"):
        assert words in text


def test_filters_in_plain_words(capsys: pytest.CaptureFixture[str]) -> None:
    """State, holder, urgency, cause and group each leave just those cases."""
    everything = json_of(capsys, CLUB)["cases"]
    for options, kept in (
        (("--state", "asked"), lambda case: case["state"] == "asked"),
        (("--state", "open"), lambda case: case["state"] in ("new", "asked")),
        (("--taken-by", "V-2"), lambda case: case["taken_by"] == "V-2"),
        (("--taken-by", "nobody"), lambda case: case["taken_by"] is None),
        (("--urgency", "today"), lambda case: case["urgency"] == "today"),
        (("--group", "cymbidium"), lambda case: case["plant"] == "cymbidium"),
    ):
        names = [case["case"] for case in json_of(capsys, CLUB, *options)["cases"]]
        assert names == [case["case"] for case in everything if kept(case)]
        assert 0 < len(names) < 40
    assert len(json_of(capsys, CLUB, "--cause", "mealybug")["cases"]) >= 6


def test_pages_hold_every_case_once(capsys: pytest.CaptureFixture[str]) -> None:
    """The pages together are the whole list; a page that is not there is refused."""
    pages = [triage(capsys, CLUB, "--state", "all", "--per-page", "15", "--page", str(page)) for page in (1, 2, 3)]
    numbers = [int(number) for page in pages for number in re.findall(r"^ *(\d+)\. ", page, re.MULTILINE)]
    assert numbers == list(range(1, 41))
    with pytest.raises(Exception, match="no page 4"):
        triage(capsys, CLUB, "--state", "all", "--page", "4")


@pytest.mark.parametrize("options", [
    ("--state", "opne"), ("--urgency", "now"), ("--cause", "mealybugs"), ("--group", "phal"), ("--case", "2031-001"),
    ("--do", "take"), ("--case", "2026-018", "--do", "take"), ("--case", "2026-018", "--do", "eat", "--by", "V-1"),
    ("--case", "2026-018", "--do", "take", "--by", " "), ("--case", "2026-018", "--do", "take", "--by", "\x1b[31mV-1"),
    ("--case", "2026-018", "--do", "take", "--by", "V" * 41),
    ("--case", "2026-018", "--do", "take", "--by", "V-1", "--note", "x" * 2001),
    ("--frequencies", "mine"), ("--per-page", "0"), ("--add", "no-such-file.txt"), ("--reply",),
])
def test_bad_use_is_one_plain_message(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str],
                                      options: tuple[str, ...]) -> None:
    """A word that is not known gives status 2 and a message without a traceback."""
    from diagnose.screen.main import run
    monkeypatch.setattr(sys, "argv", ["diagnose", "triage", str(CLUB), *ON, *options])
    with pytest.raises(SystemExit) as left:
        run()
    assert left.value.code == 2
    said = capsys.readouterr()
    assert said.err.strip()
    assert "Traceback" not in said.err + said.out


def test_one_case_shows_all_there_is_to_know(capsys: pytest.CaptureFixture[str]) -> None:
    """Facts, the letter with what was understood in brackets, the card, look-alikes, earlier cases and their end."""
    text = " ".join(triage(capsys, CLUB, "--case", "2026-018").split())
    assert "shared show: spring-show-2026; supplier: S-3" in text
    assert re.search(r"\[[^]]*white fluffy stuff[^]]*\]", text)
    for words in ("Mealybugs", "Keep in mind", "Scale insects, not mealybugs?", "Earlier here",
                  "2025-003 (2025-09-22)", "proved to be: Mealybugs; plant better", "Would help"):
        assert words in text


def test_case_as_json_is_the_result_object(capsys: pytest.CaptureFixture[str]) -> None:
    """One case with --json is the agreed result object, records included."""
    found = json.loads(triage(capsys, CLUB, "--case", "2026-014", "--json"))
    assert found["version"] == 1
    assert found["date"] == "2026-03-28"
    assert found["records"]["measures"]


def test_who_did_what_is_in_the_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Take, hand back, ask, answer, close, reopen: state, who and when stand in the case file, in order."""
    folder = club_copy(tmp_path)
    for did in ("take", "hand-back", "take", "ask", "answer", "close", "reopen"):
        triage(capsys, folder, "--case", "2026-019", "--do", did, "--by", "V-7", "--note", f"a word on {did}")
    text = (folder / "2026-019.yaml").read_text(encoding="utf-8")
    assert re.findall(r"on: (\S+), by: (\S+), did: ([\w-]+)", text) == [
        ("2026-04-22", "V-7", did) for did in ("take", "hand-back", "take", "ask", "answer", "close", "reopen")]
    assert "state: new" in text
    assert re.search(r"did: answer.*said: \{mealybug: 0\.\d+", text)
    assert re.search(r"^look_again: 2026-0[45]-\d\d$", text, re.MULTILINE)
    with pytest.raises(Exception, match="V-7 has this case"):
        triage(capsys, folder, "--case", "2026-019", "--do", "take", "--by", "V-8")


def test_a_draft_is_edited_and_sent(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The draft can be edited, is not written over, and what is sent is the edited one, as text and as a page."""
    folder = club_copy(tmp_path)
    assert "Mealybugs" in triage(capsys, folder, "--case", "2026-020", "--reply", "--by", "V-1")
    draft = folder / "replies" / "2026-020.md"
    draft.write_text(draft.read_text(encoding="utf-8").replace("Hello,", "Hello, and *thank you*,"), encoding="utf-8")
    again = triage(capsys, folder, "--case", "2026-020", "--reply", "--by", "V-1")
    assert "Hello, and thank you," in again
    assert "left as it is" in again
    triage(capsys, folder, "--case", "2026-020", "--do", "answer", "--by", "V-1", "--look-again", "2026-05-01")
    assert "Hello, and thank you," in draft.with_suffix(".txt").read_text(encoding="utf-8")
    assert "Hello, and <em>thank you</em>," in draft.with_suffix(".html").read_text(encoding="utf-8")
    text = (folder / "2026-020.yaml").read_text(encoding="utf-8")
    assert "look_again: 2026-05-01" in text
    assert "reply: \"replies/2026-020.md sha256:" in text
    assert "2026-020" in triage(capsys, folder, "--due")


@pytest.mark.parametrize(("harm", "words"), [
    ("pipe", "not an ordinary file"), ("link", "leads out"), ("folder", "Is a directory"), ("bytes", "not UTF-8"),
    ("replies", "leads out"), ("id", "leads out")])
def test_a_draft_that_is_none_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str], harm: str, words: str
                                         ) -> None:
    """What never ends, or lies outside the folder by a link or by the id of the case, is neither read nor written."""
    folder, case, outside = club_copy(tmp_path), "2026-020", tmp_path / "outside"
    outside.mkdir()
    (outside / "secret.md").write_text("secret")
    replies = folder / "replies"
    replies.mkdir()
    draft = replies / f"{case}.md"
    if harm == "pipe":
        os.mkfifo(draft)
    elif harm == "link":
        draft.symlink_to(outside / "secret.md")
    elif harm == "folder":
        draft.mkdir()
    elif harm == "bytes":
        draft.write_bytes(b"\xff\xfe")
    elif harm == "replies":
        replies.rmdir()
        replies.symlink_to(outside)
    else:
        case = "../../outside/new"
        (folder / "evil.yaml").write_text(f"case: {case}\nreceived: 2026-03-02\nletter: limp leaves\n")
    for deed in (("--reply",), ("--do", "answer")):
        with pytest.raises(InputError, match=words):
            triage(capsys, folder, "--case", case, *deed, "--by", "V-1")
    assert "did: answer" not in "".join(path.read_text(encoding="utf-8") for path in folder.glob(f"{case[:8]}.yaml"))
    assert [path.name for path in outside.iterdir()] == ["secret.md"]


@pytest.mark.parametrize("editor", ["vi '", "no-such-editor-anywhere"])
def test_an_editor_that_is_none_is_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
                                        capsys: pytest.CaptureFixture[str], editor: str) -> None:
    """The draft stays; what cannot be started is one plain message."""
    from diagnose.screen.main import run
    folder = club_copy(tmp_path)
    monkeypatch.setenv("VISUAL", editor)
    monkeypatch.setattr(sys, "argv", ["diagnose", "triage", str(folder), *ON, "--case", "2026-020", "--reply", "--edit",
                                      "--by", "V-1"])
    with pytest.raises(SystemExit) as left:
        run()
    assert left.value.code == 2
    assert editor in capsys.readouterr().err
    assert (folder / "replies" / "2026-020.md").is_file()


def test_due_is_by_date(capsys: pytest.CaptureFixture[str]) -> None:
    """What was promised comes by date; what is overdue says so."""
    text = triage(capsys, CLUB, "--due")
    days = re.findall(r"^\d{4}-\d\d-\d\d", text, re.MULTILINE)
    assert days == sorted(days)
    assert "24 days overdue" in text
    assert "in 2 days" in text
    assert "nothing was promised" in text


def test_report_shows_how_right_we_were(capsys: pytest.CaptureFixture[str]) -> None:
    """The table of confidence with intervals, the causes, and whose frequencies are used."""
    text = triage(capsys, CLUB, "--report")
    for words in ("Outcomes known: 19", "How right we were at each confidence", "95 % interval", "What it proved to be",
                  "Mealybugs", "the book's frequencies alone"):
        assert words in text


def test_outcome_is_recorded(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The outcome stands in the file with its deed; a wrong word or day is refused and changes nothing."""
    path = write_case(tmp_path, "1", outcome="{cause: scale, result: same, on: 2026-03-03, lab: yes}")
    told = ("--cause", "mealybug", "--result", "better", "--on", "2026-04-10")
    app(["outcome", str(path), *told], standalone_mode=False)
    assert "Mealybugs; plant better" in capsys.readouterr().out
    text = path.read_text(encoding="utf-8")
    assert 'outcome: {cause: mealybug, result: better, on: 2026-04-10, lab: "yes"}' in text
    for options in (("--cause", "bugs", "--result", "better", "--on", "2026-04-10"),
                    ("--cause", "scale", "--result", "good", "--on", "2026-04-10"),
                    ("--cause", "scale", "--result", "lost", "--on", "10.4.2026"),
                    ("--cause", "scale", "--result", "lost", "--on", "2026-01-01")):
        with pytest.raises(Exception, match=r"no cause|not known|not a date|cannot be known"):
            app(["outcome", str(path), *options], standalone_mode=False)
    assert path.read_text(encoding="utf-8") == text


def test_letters_are_taken_in_without_names(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Letters become cases with codes; it is said what was left out; a second time they are known."""
    folder, letters = tmp_path / "cases", tmp_path / "letters"
    folder.mkdir()
    letters.mkdir()
    (letters / "a.txt").write_text("Dear Tom,\nmy phal has limp leaves.\nBest wishes,\nOtto Brandt\n12 Mill Lane\n")
    text = triage(capsys, folder, "--add", str(letters))
    assert "case 2026-001, member M-01" in text
    assert "left out: " in text
    case = (folder / "2026-001.yaml").read_text(encoding="utf-8")
    assert not [word for word in ("Otto", "Brandt", "Mill", "Tom") if word in case]
    assert "here already as case 2026-001" in triage(capsys, folder, "--add", str(letters))
    assert [case["case"] for case in json_of(capsys, folder)["cases"]] == ["2026-001"]


def test_nothing_of_a_letter_harms_the_terminal(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Escapes, control and direction signs of letters, codes and notes never reach the screen."""
    for number, key in enumerate(("letter", "member", "taken_by", "case", "state")):
        told = {"case": str(number), "received": "2026-04-01", "letter": "limp leaves", "state": "new", key: NASTY}
        (tmp_path / f"{number}.yaml").write_text("\n".join(f"{name}: {value}" for name, value in told.items()) + "\n")
    (tmp_path / "\x1b[31mred.yaml").write_text("case: [\n")
    shown = triage(capsys, tmp_path) + triage(capsys, tmp_path, "--case", "0") + triage(capsys, tmp_path, "--json")
    shown += triage(capsys, tmp_path, "--case", "0", "--reply") + triage(capsys, tmp_path, "--case", "1")
    assert not ESCAPES.findall(shown)


def test_progress_is_told_for_long_folders(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """While many cases are judged, standard error says how far it is; standard output stays JSON alone."""
    for number in range(61):
        write_case(tmp_path, f"{number}")
    app(["triage", str(tmp_path), *ON, "--json"], standalone_mode=False)
    said = capsys.readouterr()
    assert "judged 61 of 61 cases" in said.err
    assert len(json.loads(said.out)["cases"]) == 61


def test_an_empty_folder_is_no_mistake(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """No cases: an empty list; no folder: a message."""
    assert json_of(capsys, tmp_path) == {"cases": [], "outbreaks": [], "due": []}
    assert "0 case files" in triage(capsys, tmp_path)
    with pytest.raises(Exception, match="no folder of this name"):
        triage(capsys, tmp_path / "none")
