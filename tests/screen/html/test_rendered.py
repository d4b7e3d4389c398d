"""The page in a real browser: it is not blank, on a phone and on a wide screen, in light and dark, and on paper."""

from __future__ import annotations

import shutil
import subprocess
from collections import Counter
from pathlib import Path

import pytest

from tests.screen.html.pixels import Row, rows
from tests.screen.html.reports import demo_page

BROWSER = next((found for name in ("chromium", "chromium-browser") if (found := shutil.which(name))), "")
pytestmark = pytest.mark.skipif(not BROWSER, reason="needs Chromium, on Debian the package chromium")
PLAIN = ("--headless=new", "--no-sandbox", "--disable-gpu", "--hide-scrollbars",
         "--host-resolver-rules=MAP * ~NOTFOUND")
DARK = "--blink-settings=preferredColorScheme=0"


def browse(folder: Path, *options: str) -> None:
    """Let the browser open the page of the demo, without a network."""
    page = folder / "page.html"
    page.write_text(demo_page(), encoding="utf-8")
    done = subprocess.run([BROWSER, *PLAIN, f"--user-data-dir={folder / 'profile'}", *options, page.as_uri()],
                          capture_output=True, text=True, timeout=120, check=False)
    assert done.returncode == 0, done.stderr


def picture(folder: Path, width: int, *options: str) -> list[Row]:
    """The top of the page as pixels."""
    shot = folder / "shot.png"
    browse(folder, f"--window-size={width},700", f"--screenshot={shot}", *options)
    return rows(shot)


@pytest.mark.parametrize("width", [390, 1100])
def test_page_is_drawn(tmp_path: Path, width: int) -> None:
    """A phone and a wide screen show dark writing on a light ground, and nothing runs off either side."""
    found = picture(tmp_path, width)
    colours = Counter(pixel for row in found for pixel in row)
    often = colours.most_common(1)[0][1]
    assert 0.3 < often / sum(colours.values()) < 0.97
    assert sum(count for colour, count in colours.items() if sum(colour) < 3 * 90) > 2000
    edges = {pixel for row in found for pixel in (*row[:6], *row[-6:])}
    assert [sum(colour) > 3 * 240 for colour in edges] == [True]


def test_dark_rooms_get_a_dark_page(tmp_path: Path) -> None:
    """Where the reader prefers dark screens, the ground is dark and the writing light."""
    colours = Counter(pixel for row in picture(tmp_path, 390, DARK) for pixel in row)
    assert sum(colours.most_common(1)[0][0]) < 3 * 60
    assert sum(count for colour, count in colours.items() if sum(colour) > 3 * 190) > 2000


def test_it_prints(tmp_path: Path) -> None:
    """On paper it takes a few sheets of A4."""
    paper = tmp_path / "page.pdf"
    browse(tmp_path, "--no-pdf-header-footer", f"--print-to-pdf={paper}")
    raw = paper.read_bytes()
    sheets = raw.count(b"/Type /Page\n") + raw.count(b"/Type/Page/") + raw.count(b"/Type /Page ")
    assert raw.startswith(b"%PDF")
    assert 2 <= sheets <= 8
    assert b"/MediaBox [0 0 594" in raw or b"/MediaBox [0 0 595" in raw
