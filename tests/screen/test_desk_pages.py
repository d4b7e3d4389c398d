"""Every page of the desk, seen in a headless browser: it is drawn, nothing is fetched or run, texts stay texts."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from diagnose.screen.main import app
from diagnose.screen.page import Markup, page, tag
from tests.desk.folders import club_copy, share_workbench
from tests.support.browser import Browser, colours_in, size_of

NASTY = ('"White fluff in the axils <script>document.title=1</script><img src=x onerror=alert(1)> <b>bold</b> '
         '\\e[31mred \\u202e &amp; \'quote\' leaf sticky"')
PAGES = {"list": (), "all": ("--state", "all"), "case": ("--case", "nasty"), "records": ("--case", "2026-014"),
         "report": ("--report",)}


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Every kind of page of the desk, with a letter among them that tries to do harm."""
    place = tmp_path_factory.mktemp("pages")
    folder = club_copy(place)
    (folder / "nasty.yaml").write_text(f"case: nasty\nreceived: 2026-04-20\nmember: '<i>M</i>'\nletter: {NASTY}\n"
                                       f"context: {{'<u>': '</div><h1>'}}\n")
    found, common = {name: place / f"{name}.html" for name in PAGES}, ["triage", str(folder), "--date", "2026-04-22"]
    with pytest.MonkeyPatch.context() as patch:
        share_workbench(patch)
        for name, options in PAGES.items():
            app([*common, *options, "--html", str(found[name])], standalone_mode=False)
        app([*common, "--case", "nasty", "--reply", "--by", "<b>V</b>"], standalone_mode=False)
        app([*common, "--case", "nasty", "--do", "answer", "--by", "V-1"], standalone_mode=False)
    found["reply"] = folder / "replies" / "nasty.html"
    return found


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Browser:
    """A headless browser, or a skip with the reason."""
    return Browser(tmp_path_factory.mktemp("browser"))


@pytest.mark.parametrize("name", [*PAGES, "reply"])
def test_pages_are_whole_and_harmless(pages: dict[str, Path], name: str) -> None:
    """A page holds no script, no address to fetch and no markup of a letter; a policy forbids all of it anyway."""
    text = pages[name].read_text(encoding="utf-8")
    assert "default-src 'none'" in text
    body = text[text.index("<main>"):]
    for sign in ("<script", "<img", "<i>", "<u>", "onerror=alert(1)>", "http:", "https:", "src=\"", "\x1b", "\u202e"):
        assert sign not in body
    assert text.count("<h1>") == 1


@pytest.mark.parametrize("name", [*PAGES, "reply"])
def test_pages_are_seen_in_a_browser(pages: dict[str, Path], browser: Browser, name: str) -> None:
    """The browser understands the page as it was meant and draws it, wide and as narrow as a telephone."""
    seen = browser.text(pages[name])
    assert seen.count("<main>") == seen.count("</main>") == 1
    assert "<script" not in seen[seen.index("<main>"):]
    assert "<title>1</title>" not in seen
    for width in (1000, 420):
        picture = browser.picture(pages[name], width)
        assert size_of(picture)[0] == width
        assert colours_in(picture) > 20


def test_the_letter_is_marked(pages: dict[str, Path], browser: Browser) -> None:
    """What was understood of the letter is marked, and says as what."""
    seen = browser.text(pages["records"])
    assert '<mark class="present"' in seen
    assert "crinkled" in seen[seen.index("<mark"):seen.index("</mark>")].lower()


def test_the_picture_has_a_point_for_each_band(pages: dict[str, Path]) -> None:
    """The drawing of the report shows one point and one interval for each row of its table."""
    text = pages["report"].read_text(encoding="utf-8")
    table = text[text.index("<tbody>"):text.index("</tbody>")]
    assert text.count("<circle") == table.count("<tr>") > 3


@pytest.mark.parametrize("make", [lambda text: tag("p", text), lambda text: tag("p", title=text),
                                  lambda text: Markup(page(text))])
def test_texts_never_become_markup(make: Callable[[str], Markup]) -> None:
    """A text given as content, attribute or title is escaped."""
    made = make('"><script>x</script>\x1b[31m\x00').text
    assert "<script>" not in made
    assert "\x1b" not in made
    assert "\x00" not in made
