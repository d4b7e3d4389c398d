"""The numbers that the records intake must reproduce, by id, with their tolerance."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

DATA = Path(__file__).parents[2] / "data"
EXPORTS = DATA / "logger_exports"
_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
NUMBERS: dict[str, dict[str, Any]] = {
    entry["id"]: entry
    for entry in yaml.load((DATA / "numbers_records.yaml").read_text(encoding="utf-8"), Loader=_LOADER)["checks"]
}


def inputs(number: str) -> dict[str, Any]:
    """What goes in."""
    found: dict[str, Any] = NUMBERS[number]["inputs"]
    return found


def expected(number: str) -> Any:
    """What must come out."""
    return NUMBERS[number]["expected"]


def check_agrees(number: str, found: Any, wanted: Any = None) -> None:
    """Assert that a value, list or mapping is within the tolerance stated for a number; abs and rel add up."""
    tolerance = NUMBERS[number].get("tolerance") or {}
    _agree(found, expected(number) if wanted is None else wanted, tolerance, number)


def _agree(found: Any, wanted: Any, tolerance: dict[str, float], number: str) -> None:
    if isinstance(wanted, dict):
        for key, value in found.items():
            _agree(value, wanted[key], tolerance, f"{number} {key}")
    elif isinstance(wanted, list):
        assert len(found) == len(wanted), number
        for one, other in zip(found, wanted, strict=True):
            _agree(one, other, tolerance, number)
    else:
        allowed = tolerance.get("abs", 0) + tolerance.get("rel", 0) * abs(wanted)
        assert found == pytest.approx(wanted, abs=max(allowed, 1e-9)), number
