"""Statistics of the desk and the worth of questions against published figures and worked examples."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import yaml

from diagnose.reason.chances import brier, expected_calibration_error, updated_share, wilson
from diagnose.reason.questions import bits_told

DATA = Path(__file__).parents[1] / "data" / "numbers_statistics.yaml"
NUMBERS: dict[str, dict[str, Any]] = {
    entry["id"]: entry for entry in yaml.safe_load(DATA.read_text(encoding="utf-8"))["checks"]}


def calibration_error(i: Mapping[str, Any], right_closed: bool = True) -> float:
    """The error over equal bands, closed on the right or on the left."""
    count = i["bins"]
    bands = []
    for at in range(count):
        low, high = at / count, (at + 1) / count
        inside = [(said, so) for said, so in zip(i["p"], i["y"], strict=True)
                  if (low < said - 1e-12 <= high if right_closed else low <= said + 1e-12 < high)]
        if inside:
            bands.append((len(inside), sum(said for said, _ in inside) / len(inside),
                          sum(so for _, so in inside) / len(inside)))
    return expected_calibration_error(bands)


def shares(i: Mapping[str, Any]) -> dict[str, Any]:
    """Each share after its counts, the prior counting for as many cases as its parts add up to."""
    weight, of = sum(i["prior"]), sum(i["counts"])
    return {"mean": [updated_share(part / weight, weight, hits, of)
                     for part, hits in zip(i["prior"], i["counts"], strict=True)]}


def gain(prior: list[float], yes: list[float]) -> float:
    """Bits that a question of two answers tells."""
    chances = np.array(yes)
    return float(bits_told(np.array(prior), [np.column_stack([chances, 1 - chances])])[0])


CHECKS: dict[str, Callable[[Mapping[str, Any]], Any]] = {
    "STA-14": lambda i: [brier([(said, bool(so))]) for said, so in i["p_outcome"]],
    "STA-15": lambda i: brier([(said, bool(so)) for said, so in zip(i["p"], i["outcome"], strict=True)]),
    "STA-17": calibration_error,
    "STA-18": calibration_error,
    "STA-19": lambda i: {"right_closed": calibration_error(i), "left_closed": calibration_error(i, False)},
    "STA-22": lambda i: list(wilson(i["k"], i["n"], i["z"])),
    "STA-23": lambda i: list(wilson(i["k"], i["n"], i["z"])),
    "STA-24": lambda i: list(wilson(i["k"], i["n"], i["z"])),
    "STA-25": lambda i: list(wilson(i["k"], i["n"], i["z"])),
    "STA-26": lambda i: [list(wilson(hits, of)) for hits, of in i["k_n"]],
    "STA-27": lambda i: list(wilson(i["k"], i["n"])),
    "STA-28": shares,
    "STA-29": shares,
    "STA-30": shares,
    "STA-39": lambda i: {"gain_bits": gain([0.5, 0.3, 0.2], [0.9, 0.2, 0.5])},
    "STA-40": lambda i: [gain([0.5, 0.5], [0.4, 0.4]), gain([0.5, 0.5], [1, 0])],
}


@pytest.mark.parametrize("number", CHECKS)
def test_statistics_number(number: str) -> None:
    """A published or worked figure of statistics comes out within its stated tolerance."""
    entry = NUMBERS[number]
    found, wanted = CHECKS[number](entry.get("inputs", {})), entry["expected"]
    tolerance = entry["tolerance"]
    pairs = [(found[key], wanted[key]) for key in found] if isinstance(found, dict) else [(found, wanted)]
    for one, other in pairs:
        allowed = tolerance.get("abs", 0) + tolerance.get("rel", 0)
        assert np.asarray(one) == pytest.approx(np.asarray(other), abs=max(allowed, 1e-9)), number


def test_every_statistics_number_is_checked() -> None:
    """No figure of the data file is left without a check."""
    assert set(CHECKS) == set(NUMBERS)
