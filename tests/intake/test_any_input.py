"""Whatever bytes stand in a file of records or a case file: values or a report, and never anything else."""

from __future__ import annotations

import datetime as dt
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from diagnose.desk.change import do
from diagnose.intake.case_files import parse_case, paths_of_case
from diagnose.intake.letter_files import decode_letter
from diagnose.intake.letter_lines import LetterLine, LineFault, read_letter_lines
from diagnose.intake.mails import text_of_page
from diagnose.intake.pasted import Pasted, PastedReader
from diagnose.intake.records.folder import Records
from diagnose.knowledge.desk import read_pasted_rules
from diagnose.knowledge.store import default_folder
from diagnose.model.cases import CaseFile, Deed
from diagnose.model.days import FIRST_DAY, LAST_DAY, day_of
from diagnose.problems import InputError
from tests.intake.records.folders import BENCH, DATE, log, log_rows, records, write_folder
from tests.intake.test_case_files import WHOLE

QUICK = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
CELLS = st.one_of(st.sampled_from([
    "2026-02-01", "2026-02-30", "0001-01-01", "P-07", "*", "water", "feed", "stage", "weigh", "in_bud", "150", "1e999",
    "nan", "-1", "9" * 60, "ppm N", "ml", "%", "pH 6.0; 150 ppm N", "20-20-20", '"', "''", "", " ", "\x1b[31m",
    "01.02.2026 10:00", "1/2/26", "1770000000", "24:61", "Err", "18,5", "temp_c", "rh", "lux", "Date", "°F"]),
    st.text(max_size=8))
TABLES = st.lists(st.lists(CELLS, max_size=7), max_size=9).flatmap(lambda rows: st.sampled_from(",;\t|").map(
    lambda mark: "\n".join(mark.join(cells) for cells in rows)))
ANY = st.one_of(st.binary(max_size=120), TABLES.map(lambda text: text.encode("utf-8", "surrogatepass")),
                TABLES.map(lambda text: text.encode("utf-16", "surrogatepass")))
CARE, CLIMATE = "date,plant,action,amount,unit,detail\n2026-02-01,P-07,water,,,\n", log(log_rows(2, 120))


def reported(read: Callable[[], object]) -> object:
    """The value, or None where problems were reported, each with place and words; any other error fails the test."""
    try:
        return read()
    except InputError as error:
        problems = error.problems
    assert problems
    assert all(problem.where.file and problem.code and problem.words for problem in problems)
    return None


@QUICK
@given(ANY, st.booleans())
def test_any_care_log(tmp_path: Path, raw: bytes, begins_well: bool) -> None:
    """A care log of any bytes, or a good one that goes on with any."""
    write_folder(tmp_path)
    (tmp_path / "care.csv").write_bytes(CARE.encode() * begins_well + raw)
    found = reported(lambda: records(tmp_path))
    assert found is None or isinstance(found, Records)


@QUICK
@given(ANY, st.booleans())
def test_any_climate_log(tmp_path: Path, raw: bytes, begins_well: bool) -> None:
    """A climate export of any bytes, or a good one that goes on with any."""
    write_folder(tmp_path, east_window=CLIMATE.encode() * begins_well + raw)
    found = reported(lambda: records(tmp_path))
    climate = getattr(found, "climate", None)
    assert climate is None or climate.rows["t"].is_sorted()


def one_replaced(text: str, values: st.SearchStrategy[str], data: st.DataObject) -> bytes:
    """The lines of a file with the value of one of them replaced."""
    lines = text.splitlines()
    at = data.draw(st.integers(0, len(lines) - 1))
    lines[at] = f"{lines[at].partition(':')[0]}: {data.draw(values)}"
    return "\n".join(lines).encode("utf-8", "surrogatepass")


@QUICK
@given(st.data())
def test_any_value_on_the_bench(tmp_path: Path, data: st.DataObject) -> None:
    """A bench with one value replaced by anything."""
    write_folder(tmp_path, care="")
    values = st.one_of(CELLS, st.just("{a: [b]}"), st.just("[]"))
    (tmp_path / "bench.yaml").write_bytes(one_replaced(BENCH, values, data))
    found = reported(lambda: records(tmp_path))
    assert found is None or isinstance(found, Records)


VALUES = st.one_of(CELLS, st.sampled_from([
    "[]", "{}", "[[a]]", "{a: {b: c}}", "|", "- a", "&a b", "*a", "~", "'", "{"]))


@QUICK
@given(st.data())
def test_any_value_in_a_case_file(tmp_path: Path, data: st.DataObject) -> None:
    """With one value replaced by anything the file is read or reported; a deed is written down or nothing is."""
    raw = one_replaced(WHOLE, VALUES, data) + b"\n"
    found = reported(lambda: parse_case(raw, "f.yaml"))
    assert found is None or isinstance(found, CaseFile)
    path = tmp_path / "f.yaml"
    path.write_bytes(raw)
    after = reported(lambda: do(path, tmp_path, Deed("close", "V-1", dt.date(2026, 4, 22), note="a: [b")))
    if after is None:
        assert path.read_bytes() == raw
    else:
        assert parse_case(path.read_bytes(), "f.yaml").history[-1].note == "a: [b"


@QUICK
@given(st.one_of(st.binary(max_size=200), st.text(max_size=80).map(lambda text: text.encode("utf-8", "surrogatepass"))))
def test_any_letter_pasted_or_in_lines(tmp_path: Path, raw: bytes) -> None:
    """A letter of any bytes is text or reported; so is each letter of a paste and each line of a file of letters."""
    path = tmp_path / "letters"
    path.write_bytes(raw)
    with path.open("rb") as file:
        reported(lambda: decode_letter(file, "letter"))
    assert all(isinstance(each, Pasted | InputError) for each in READER.paste(raw, "paste"))
    assert all(isinstance(each, LetterLine | LineFault) for each in read_letter_lines(path))
    mail = tmp_path / "letter.eml"
    mail.write_bytes(b"From: x@example.org\nContent-Type: text/html; charset=utf-16\n\n" + raw)
    assert all(isinstance(each, Pasted | InputError) for each in READER.read(mail))


READER = PastedReader(read_pasted_rules(default_folder()), ())


@pytest.mark.parametrize("piece", ["a", "1", "a.", " ", "\n ", "- ", "--\n\n", "Anna ", "Dear Anna ", "from:\n", "a@"])
def test_a_long_paste_takes_its_length_and_no_more(piece: str) -> None:
    """Clearing 200 kB of anything repeated takes seconds at most: no pattern goes over a stretch again and again."""
    start = time.process_time()
    list(READER.paste((piece * 200_000)[:200_000].encode() + b" limp leaves", "paste"))
    assert time.process_time() - start < 5.0


@pytest.mark.parametrize("piece", ["<", "<a ", "<a/", "</", "<!", "<!--", "<![", "<?", "<a b='", '<a b="x', "<script>",
                                   "<style><", "&", "&#9", "<p>", "=", "\n", "<a\n"])
def test_a_long_page_takes_its_length_and_no_more(piece: str) -> None:
    """A million characters of any markup repeated are read in a second or two at most."""
    start = time.process_time()
    text_of_page((piece * 1_000_000)[:1_000_000])
    assert time.process_time() - start < 3.0


def test_a_case_is_looked_for_in_no_more_than_the_length_of_the_files(tmp_path: Path) -> None:
    """A file of a megabyte of line ends or blanks holds nobody up."""
    for name, piece in (("a", "\n"), ("b", " "), ("c", "case:\n"), ("d", "{ ")):
        (tmp_path / f"{name}.yaml").write_text(piece * 200_000)
    start = time.process_time()
    assert paths_of_case(tmp_path, "2026-014") == []
    assert time.process_time() - start < 2.0


@pytest.mark.parametrize(("text", "day"), [
    ("2026-03-02", DATE), ("1900-01-01", FIRST_DAY), ("2199-12-31", LAST_DAY), ("1899-12-31", None),
    ("2200-01-01", None), ("0001-01-01", None), ("2026-02-30", None), ("20260302", None), ("2026-W10-1", None)])
def test_days_a_case_can_be_about(text: str, day: dt.date | None) -> None:
    """Written year, month, day; what lies beyond two centuries is a slip."""
    assert day_of(text) == day
