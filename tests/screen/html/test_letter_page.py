"""The page of one plant: whole, self-contained, true to the result, and harmless whatever was written."""

from __future__ import annotations

import dataclasses
import re
from itertools import pairwise

import pytest

from diagnose.model.report import Report
from diagnose.screen.card import leading, percent
from diagnose.screen.html.letter_page import letter_page
from tests.screen.html.reading import Page, drawings
from tests.screen.html.reports import LAST, demo_page, demo_report, history, own_base, told, window

SHOWN = "</style></svg><script>alert(1)</script> \"quoted\" 'single' & <img src=x onerror=alert(1)>"
NASTY = f"{SHOWN} \x1b[31m\x07\u202e]]>"


def strange_report() -> Report:
    """A report in which everything that others write is hostile."""
    report = told(f"The leaves are limp, {NASTY}. I moved it two weeks ago.")
    causes = report.result.causes
    past = dataclasses.replace(history(100, detail=NASTY), plant=NASTY)
    windows = (window(40, 10, "temperature_night_low", causes[0].cause, NASTY),
               window(5, 5, "", causes[0].cause, NASTY))
    understood = dataclasses.replace(report.result.understood, not_understood=(NASTY,))
    result = dataclasses.replace(report.result, understood=understood, records=demo_report().result.records)
    return dataclasses.replace(report, result=result, history=past, windows=windows, onset=LAST)


@pytest.fixture(params=["demo", "strange", "letter alone", "nothing", "answers alone"])
def source(request: pytest.FixtureRequest) -> str:
    """Pages of all kinds."""
    if request.param == "demo":
        return demo_page()
    report = {"strange": strange_report, "letter alone": lambda: told("All buds of my moth orchid drop."),
              "nothing": lambda: told("Hello."), "answers alone": lambda: told("")}[request.param]()
    return letter_page(own_base(), report)


def test_every_element_is_closed(source: str) -> None:
    """Elements are closed in their order, and there is one title, one main part and one first heading."""
    page = Page(source)
    assert page.faults == []
    assert source.startswith("<!doctype html>\n<html lang=\"en\">")
    assert [len(page.all(name)) for name in ("main", "h1")] == [1, 1]
    assert page.all("title")[0].text.strip()


def test_headings_do_not_skip_a_level(source: str) -> None:
    """Whoever goes from heading to heading misses none."""
    levels = [int(element.name[1]) for element in Page(source).elements if re.fullmatch(r"h[1-6]", element.name)]
    assert all(later <= earlier + 1 for earlier, later in pairwise(levels))


def test_nothing_is_fetched_or_run(source: str) -> None:
    """No script, no handler, nothing from elsewhere: the page needs only itself."""
    page = Page(source)
    names = {element.name for element in page.elements}
    assert not names & {"script", "link", "img", "iframe", "object", "embed", "base", "form"}
    for element in page.elements:
        assert not [name for name in element.attributes if name.startswith("on") or name in ("src", "href")]
    assert not re.search(r"url\((?!#)|@import", page.all("style")[0].text)
    assert not re.search(r"url\((?!#)", source.split("</style>")[-1])


def test_names_are_unique_and_found(source: str) -> None:
    """Every id stands once, and whatever points at one finds it."""
    page = Page(source)
    ids = [element.attributes["id"] for element in page.elements if "id" in element.attributes]
    assert len(ids) == len(set(ids))
    pointed = [element.attributes[name] for element in page.elements
               for name in ("aria-labelledby", "aria-describedby") if name in element.attributes]
    pointed += re.findall(r"url\(#([^)]+)\)", source)
    assert set(pointed) <= set(ids)


def test_pictures_are_read_aloud(source: str) -> None:
    """Every picture is sound XML with a title and words for those who cannot see it; samples of the key are passed
    over."""
    for drawing in drawings(source):
        if drawing.get("aria-hidden") != "true":
            assert drawing.get("role") == "img"
            assert (drawing.findtext("title") or "").strip()
            assert (drawing.findtext("desc") or "").strip()


def test_no_control_characters(source: str) -> None:
    """Escapes, control characters and marks that turn the direction of writing are taken out."""
    assert not re.search(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u200e\u200f\u202a-\u202e\u2066-\u2069]", source)


def test_hostile_text_is_shown_as_text() -> None:
    """What looks like markup in a letter, a log or a name stands on the page as it was typed."""
    page = Page(letter_page(own_base(), strange_report()))
    assert page.text.count(SHOWN) >= 4
    assert SHOWN in page.all("title")[0].text


def test_all_of_the_answer_is_there() -> None:
    """Every cause with all its reasons, advice, cautions and sources, and every question, stands on the page."""
    result, text = demo_report().result, Page(demo_page()).text
    for cause in result.causes:
        said = [cause.name, f"{cause.grade}, {percent(cause.probability)}", *cause.do, *cause.do_not, *cause.settle,
                *cause.cautions, cause.expect]
        for evidence in (*cause.for_, *cause.against):
            said += [evidence.finding, evidence.because, evidence.source, f"{evidence.decibans:+.1f} dB"]
        assert [each for each in said if " ".join(each.split()) not in text] == []
    assert all(question.question in text for question in result.ask_next)
    assert result.records is not None
    assert all(note in text for note in result.records.notes)


def test_the_letter_is_whole_and_marked() -> None:
    """The letter stands on the page word for word, and each sign's words are marked."""
    report, page = demo_report(), Page(demo_page())
    letter = next(element for element in page.elements if element.attributes.get("class") == "letter")
    assert " ".join(re.sub(r"\d", "", letter.text).split()) == " ".join(re.sub(r"\d", "", report.letter).split())
    marks = {" ".join(element.text.split()) for element in page.all("mark")}
    present = [sign for sign in report.result.understood.signs if sign.state == "present"]
    assert present
    assert all(" ".join(sign.quote.split()) in marks for sign in present)


def test_marks_are_told_apart_without_colour() -> None:
    """Each mark carries a number, and the list says for each number whether the sign is there or not."""
    page = Page(demo_page())
    notes = next(n for n, element in enumerate(page.elements) if element.attributes.get("class") == "notes")
    listed = [element for element in page.elements[notes + 1:] if element.name == "li"][:len(page.all("mark"))]
    assert [element.text for element in page.all("sup")] == [str(n) for n in range(1, len(page.all("mark")) + 1)]
    assert all(re.match(r"(there|not there|unsure|told): ", element.text) for element in listed)


def test_pictures_show_what_is_logged() -> None:
    """There is a picture for care, for each quantity logged and for water, each wide and narrow."""
    kept = demo_report().history
    assert kept is not None
    names = {"care", "water", *(series.quantity for series in kept.series)}
    found = {drawing.get("aria-labelledby") for drawing in drawings(demo_page())} - {None}
    assert found == {f"{name}-{layout}-title" for name in names for layout in ("wide", "narrow")}


def test_gaps_stay_blank() -> None:
    """Days without readings part the line of the means in two, and the words say how many there are."""
    report = dataclasses.replace(demo_report(), history=history(100, missing=frozenset(range(40, 50))))
    source = letter_page(own_base(), report)
    drawing = next(each for each in drawings(source) if each.get("aria-labelledby") == "temperature-wide-title")
    assert len([path for path in drawing.iter("path") if path.get("class") == "mean"]) == 2
    assert "Too little is known of 10 days" in (drawing.findtext("desc") or "")


def test_the_wanted_band_is_shaded() -> None:
    """What the group wants stands behind the readings, between dashed edges at its limits."""
    drawing = next(each for each in drawings(demo_page()) if each.get("aria-labelledby") == "temperature-wide-title")
    edges = sorted(float(each.get("y1", "")) for each in drawing.iter("line") if each.get("class") == "edge")
    band = next(each for each in drawing.iter("rect") if each.get("class") == "wanted")
    top, height = float(band.get("y", "")), float(band.get("height", ""))
    assert edges == pytest.approx([top, top + height], abs=0.11)


def test_windows_are_numbered_in_words_and_pictures() -> None:
    """Each window of the leading cause has its days in words, a bar, and hatching in the picture of its quantity."""
    first, last = leading(demo_report().result)[0].cause, demo_report().result.causes[-1].cause
    report = dataclasses.replace(
        demo_report(), history=history(100),
        windows=(window(60, 30, "temperature_night_low", first), window(20, 10, "days_never_drained", first),
                 window(9, 9, "temperature_night_low", last)))
    source = letter_page(own_base(), report)
    text = Page(source).text
    assert "16 Dec 2025 to 15 Jan 2026: Nights are cold" in text
    assert "5 Feb 2026" not in text.split("The records")[1].split("What was done")[0]
    hatched = {name: sum(rect.get("class") == "window" for rect in drawing.iter("rect")) for drawing in drawings(source)
               if (name := drawing.get("aria-labelledby") or "").endswith("wide-title")}
    assert hatched == {"care-wide-title": 2, "temperature-wide-title": 1, "humidity-wide-title": 0,
                       "deficit-wide-title": 0, "light-wide-title": 0, "water-wide-title": 1}


def test_a_plant_of_unknown_kind_is_not_said_to_want_it() -> None:
    """Where the kind of plant is not told, the band is that of most groups and the page says so."""
    report = dataclasses.replace(demo_report(), group=own_base().groups["unknown"])
    assert "what most groups want (kind not told)" in letter_page(own_base(), report)


@pytest.mark.parametrize("days", [1, 14, 35, 36, 182])
def test_histories_of_any_length_are_drawn(days: int) -> None:
    """A day, two weeks, half a year: every picture is drawn, and the table has a row a day or a week."""
    report = dataclasses.replace(demo_report(), history=history(days), windows=(), onset=None)
    source = letter_page(own_base(), report)
    assert Page(source).faults == []
    assert len(drawings(source)) > 12


def test_same_report_same_page() -> None:
    """The page depends on the report alone."""
    assert letter_page(own_base(), demo_report()) == demo_page()
