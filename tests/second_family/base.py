"""A rule base of another family of plants, potted citrus: its own folder, and what of the project's is not of orchids.

The cases put to it are invented; what it says of citrus rests on the publications in its own sources.yaml.
"""

from __future__ import annotations

import re
import shutil
from pathlib import Path

from diagnose.knowledge.store import default_folder

__all__ = ["CITRUS", "GENERAL", "assembled"]

CITRUS = Path(__file__).parent / "knowledge"
GENERAL = (  # numbers of belief, quantities, letters and replies as such, and English as growers write it
    "scales.yaml", "measures.yaml",
    "wording/notice.yaml", "wording/outlook.yaml", "wording/pasted.yaml", "wording/reply.yaml",
    "speech/scopes.yaml", "speech/words.yaml", "speech/times.yaml", "speech/quantities.yaml", "speech/places.yaml",
    "speech/events.yaml", "speech/certainties.yaml",
)
HABITS_OF = {  # lines of the general files that name a habit of the family
    "quantities.yaml": re.compile(r"  - \{habit: (\w+),"),
    "events.yaml": re.compile(r"    (?:lately|long_ago): \[\[(\w+),"),
}


def assembled(place: Path) -> Path:
    """The whole rule base of citrus, put together in a folder ``citrus`` of the place."""
    folder = place / "citrus"
    shutil.copytree(CITRUS, folder)
    for name in GENERAL:
        (folder / name).parent.mkdir(exist_ok=True)
        shutil.copy(default_folder() / name, folder / name)
    known = set(re.findall(r"\bhabit: (\w+)", (CITRUS / "habits.yaml").read_text(encoding="utf-8")))
    for name, row in HABITS_OF.items():
        _keep_known(folder / "speech" / name, row, known)
    return folder


def _keep_known(file: Path, row: re.Pattern[str], known: set[str]) -> None:
    """Told numbers and events amount to habits (a night at 4 °C is cold): those that this family knows are kept."""
    lines = file.read_text(encoding="utf-8").splitlines()
    kept = [line for line in lines if not (found := row.match(line)) or found[1] in known]
    file.write_text("\n".join(kept) + "\n", encoding="utf-8")
