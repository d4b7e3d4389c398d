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


def assembled(place: Path) -> Path:
    """The whole rule base of citrus, put together in a folder ``citrus`` of the place."""
    folder = place / "citrus"
    shutil.copytree(CITRUS, folder)
    for name in GENERAL:
        (folder / name).parent.mkdir(exist_ok=True)
        shutil.copy(default_folder() / name, folder / name)
    _keep_own_habits(folder / "speech" / "quantities.yaml", (CITRUS / "habits.yaml").read_text(encoding="utf-8"))
    return folder


def _keep_own_habits(quantities: Path, habits: str) -> None:
    """Told numbers amount to habits (a night at 4 °C is cold): only those that this family knows are kept."""
    known = set(re.findall(r"\bhabit: (\w+)", habits))
    lines = quantities.read_text(encoding="utf-8").splitlines()
    row = re.compile(r"  - \{habit: (\w+),")
    kept = [line for line in lines if not (found := row.match(line)) or found[1] in known]
    quantities.write_text("\n".join(kept) + "\n", encoding="utf-8")
