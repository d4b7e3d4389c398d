"""care.csv: what is read, and how mistakes are told."""

from __future__ import annotations

import datetime as dt
import time
from pathlib import Path

import pytest

from diagnose.intake.records.care import CareRow, read_care
from diagnose.intake.records.doses import Dose, doses_in
from diagnose.intake.records.feed_label import elements_ppm
from diagnose.problems import InputError, Problem
from tests.intake.records.folders import DATE
from tests.own import own_base

HEADER = "date,plant,action,amount,unit,detail\n"


def care(folder: Path, text: str | bytes, until: dt.date = DATE) -> tuple[tuple[CareRow, ...], list[Problem]]:
    """The rows and problems of a care log."""
    (folder / "care.csv").write_bytes(text.encode() if isinstance(text, str) else text)
    return read_care(folder / "care.csv", "care.csv", ("P-07", "P-08"), until, own_base().terms.stages)


def test_rows_with_doses(tmp_path: Path) -> None:
    """Amount and unit, doses in the detail, plants and the star arrive with their lines, oldest first."""
    rows, problems = care(tmp_path, HEADER + "2026-02-08,P-07,feed,150,ppm N,20-20-20; pH 6.0\n\n"
                          "2026-02-01,*,water,,,\n2026-02-09,P-08,soak,20,min,rain water\n")
    assert problems == []
    assert [(row.date.day, row.line, row.plant, row.action) for row in rows] == [
        (1, 4, "*", "water"), (8, 2, "P-07", "feed"), (9, 5, "P-08", "soak")]
    assert rows[1].doses == (Dose(150, "ppm N"), Dose(6, "pH"))
    assert rows[2].doses == (Dose(20, "min"),)


@pytest.mark.parametrize(("row", "code", "words"), [
    ("02.02.2026,P-07,water,,,", "not-a-date", '"02.02.2026" is not a date. Write it as 2026-03-02.'),
    ("2026-02-30,P-07,water,,,", "not-a-date", "2026-02-30"),
    ("2026-02-02,P-7,water,,,", "unknown-plant", 'Did you mean "P-07"?'),
    ("2026-02-02,P-07,watr,,,", "unknown-action", 'Did you mean "water"?'),
    ("2026-02-02,P-07,water,much,ml,", "not-a-number", '"much"'),
    ("2026-02-02,P-07,water,250,,", "no-unit", "no unit"),
    ("2026-02-02,P-07,feed,150,ppmm,", "unknown-unit", '"ppmm"'),
    ("2026-02-02,P-07,water,-5,ml,", "out-of-range", "-5 ml"),
    ("2026-02-02,P-07,feed,150,ppm N,pH 60", "out-of-range", "60 pH"),
    (f"2026-02-02,P-07,feed,{'9' * 400},ppm N,", "out-of-range", "Expected 0 to 20000 ppm N."),
    (f"2026-02-02,P-07,water,,,pH {'9' * 1500}", "out-of-range", "A number of that many digits in pH cannot be right."),
    (f"2026-02-02,P-07,water,{'9' * 5000},,", "no-unit", "no unit"),
    ("2026-02-02,P-07,stage,,,in_buds", "unknown-stage", 'Did you mean "in_bud"?'),
    (f"2026-02-02,P-07,seen,,,{'leaf ' * 401}limp", "detail-too-long", "longer than 2,000 characters"),
    ("2026-02-02,P-07,seen,,,", "nothing-seen", "what was seen"),
])
def test_bad_row(row: str, code: str, words: str, tmp_path: Path) -> None:
    """A bad row is a problem with its line, what was found, and what helps."""
    rows, problems = care(tmp_path, HEADER + "2026-02-01,P-07,water,,,\n" + row + "\n")
    assert len(rows) == len(problems) == 1
    assert (problems[0].where.line, problems[0].code) == (3, code)
    assert words in str(problems[0])


@pytest.mark.parametrize("digits", [400, 1500])
def test_a_fraction_after_endless_digits_is_read_alone(digits: int, tmp_path: Path) -> None:
    """However many digits stand before it, "1/2 tsp per gallon" is grams a litre."""
    rows, problems = care(tmp_path, f"{HEADER}2026-02-01,P-07,feed,,,{'9' * digits} 1/2 tsp per gallon\n")
    assert problems == []
    assert [dose.unit for dose in rows[0].doses] == ["g/l"]


def test_a_long_row_of_digits_costs_its_length() -> None:
    """Twenty thousand digits in a detail are read at once, not once from each of them."""
    start = time.process_time()
    assert doses_in("9" * 20_000) == ()
    assert elements_ppm((), "9" * 20_000) == {}
    assert time.process_time() - start < 1.0


@pytest.mark.parametrize("detail", [f"0.{'0' * 309}1-20-20; 150 ppm N", f"4 g in 0.{'0' * 309}1 l; 20-20-20"])
def test_a_label_of_next_to_nothing_states_no_more_than_the_whole(detail: str) -> None:
    """A strength beyond pure salt, or beyond all numbers, is not told."""
    assert all(0 <= ppm <= 1e6 for ppm in elements_ppm(doses_in(detail), detail).values())


def test_all_bad_rows_at_once(tmp_path: Path) -> None:
    """Every bad row is reported in one go."""
    _, problems = care(tmp_path, HEADER + "x,P-07,water,,,\n2026-02-01,P-07,wter,,,\n2026-02-01,Q,water,,,\n")
    assert [problem.where.line for problem in problems] == [2, 3, 4]


def test_rows_after_the_date_are_not_even_checked(tmp_path: Path) -> None:
    """Absurd rows after the date are neither used nor complained of."""
    rows, problems = care(tmp_path, HEADER + "2026-03-02,P-07,water,,,\n2026-03-03,nobody,explode,-1,parsecs,?\n")
    assert (len(rows), problems) == (1, [])


@pytest.mark.parametrize("text", [
    HEADER + "2026-02-08,P-07,feed,0.5,g/l,20-20-20",
    "\ufeff" + HEADER.replace(",", ";") + "2026-02-08;P-07;feed;0,5;g/l;20-20-20\r\n",
    "Plant,Date,Action,Detail,Unit,Amount\nP-07,2026-02-08 07:30,Feed,20-20-20,G/L,\"0,5\"\n",
    HEADER + "2026-02-08,P-07,feed,.5,g/l,\n".replace(".5", "0.5").replace("l,", "l,20-20-20"),
])
def test_dialects(text: str, tmp_path: Path) -> None:
    """Delimiter, order of columns, capitals, byte order mark and a missing line end do not matter."""
    rows, problems = care(tmp_path, text)
    assert problems == []
    assert rows[0].doses == (Dose(0.5, "g/l"),)
    assert rows[0].detail == "20-20-20"


def test_commas_in_the_last_column(tmp_path: Path) -> None:
    """A detail typed with commas is kept whole."""
    rows, _ = care(tmp_path, HEADER + "2026-02-08,P-07,move,,,to the hall, away from the door\n")
    assert rows[0].detail == "to the hall, away from the door"


def test_open_quotation_mark_swallows_no_row(tmp_path: Path) -> None:
    """A quotation mark that is not closed does not take the rows below into its cell."""
    rows, problems = care(tmp_path, HEADER + '2026-02-08,P-07,treat,,,"soap\n2026-02-09,P-07,water,,,\n')
    assert ([row.action for row in rows], problems) == (["treat", "water"], [])


def test_only_needed_columns(tmp_path: Path) -> None:
    """Amount, unit and detail may be missing altogether."""
    rows, problems = care(tmp_path, "date,plant,action\n2026-02-08,P-07,water\n")
    assert (rows[0].doses, rows[0].detail, problems) == ((), "", [])


def test_header_without_a_needed_column(tmp_path: Path) -> None:
    """A header that lacks a column is refused with the nearest name that it has."""
    with pytest.raises(InputError, match="lacks plant"):
        care(tmp_path, "date,plnt,action\n2026-02-08,P-07,water\n")


@pytest.mark.parametrize("text", ["", "\n\n", HEADER])
def test_nothing_logged(text: str, tmp_path: Path) -> None:
    """An empty log holds no rows and is no mistake."""
    assert care(tmp_path, text) == ((), [])


def test_folder_in_place_of_the_file(tmp_path: Path) -> None:
    """A folder named care.csv is refused, not tripped over."""
    (tmp_path / "care.csv").mkdir()
    with pytest.raises(InputError, match="cannot be read"):
        read_care(tmp_path / "care.csv", "care.csv", (), DATE)
