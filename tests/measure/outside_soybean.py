"""The soybean set: 683 plants with one of 19 labelled causes and up to 35 answers each, 9.8 % of them missing.

UCI machine learning repository, "Soybean (Large)", as packed in Debian's r-cran-mlbench 2.1-3. The package is under
GPL-2 and says nothing of the data apart; so the set is fetched when needed and kept in the cache folder only.
"""

from __future__ import annotations

import csv
import hashlib
import io
import os
import subprocess
import tempfile
from pathlib import Path

import numpy as np

from tests.measure.outside_cases import UNKNOWN, LabelledCases, Unavailable
from tests.measure.outside_r_data import read_factors

__all__ = ["LEAF_SPOTS", "soybean_cases"]

PACKAGE = "r-cran-mlbench"
INSIDE = "usr/lib/R/site-library/mlbench/data/Soybean.rda"
# SHA-256 of the table written as text; read from 2.1-3, equal in all 683 x 36 cells to soybean.arff of Debian's weka.
CHECKSUM = "965d41faf0b6b7e58715a71cbc7e0a518646e8b0c31b4fdf226c5293b2c1373d"
LEAF_SPOTS = frozenset({"brown-spot", "alternarialeaf-spot", "frog-eye-leaf-spot", "phyllosticta-leaf-spot"})
PATIENCE_S = 60


def soybean_cases() -> LabelledCases:
    """All cases. Raises Unavailable where the package can neither be found in the cache nor fetched."""
    kept = _cache_folder() / "soybean.csv"
    if not kept.is_file() or not _is_right(kept.read_text(encoding="utf-8")):
        table = _as_table(read_factors(_fetch(), "Soybean"))
        if not _is_right(table):
            raise Unavailable(f"the soybean set of this {PACKAGE} is not the one that the bars were measured on")
        kept.parent.mkdir(parents=True, exist_ok=True)
        kept.write_text(table, encoding="utf-8", newline="")
    return _as_cases(kept.read_text(encoding="utf-8"))


def _cache_folder() -> Path:
    return Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache") / "diagnose-outside"


def _is_right(table: str) -> bool:
    return hashlib.sha256(table.encode()).hexdigest() == CHECKSUM


def _fetch() -> bytes:
    """The data file out of the Debian package (1 MB)."""
    patience = ["-o", "Acquire::Retries=0", "-o", "Acquire::http::Timeout=15"]
    with tempfile.TemporaryDirectory() as place:
        try:
            _run(["apt-get", *patience, "download", "-qq", PACKAGE], place)
            _run(["dpkg", "-x", *(path.name for path in Path(place).glob("*.deb")), "unpacked"], place)
            return (Path(place) / "unpacked" / INSIDE).read_bytes()
        except (OSError, subprocess.SubprocessError) as error:
            raise Unavailable(f"the soybean set comes in Debian's {PACKAGE}, which could not be fetched "
                              f"(needs apt-get with package lists, dpkg and a network): {error}") from error


def _run(command: list[str], place: str) -> None:
    subprocess.run(command, cwd=place, check=True, capture_output=True, timeout=PATIENCE_S)


def _as_table(columns: dict[str, list[str | None]]) -> str:
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(columns)
    writer.writerows(["" if value is None else value for value in row]
                     for row in zip(*columns.values(), strict=True))
    return text.getvalue()


def _as_cases(table: str) -> LabelledCases:
    rows = list(csv.DictReader(io.StringIO(table)))
    causes = tuple(sorted({row["Class"] for row in rows}))
    questions = [name for name in rows[0] if name != "Class"]
    known = {name: sorted({row[name] for row in rows} - {""}) for name in questions}
    answers = [[known[name].index(row[name]) if row[name] else UNKNOWN for name in questions] for row in rows]
    return LabelledCases(
        causes=causes,
        sizes=tuple(len(known[name]) for name in questions),
        answers=np.array(answers, dtype=np.int64),
        cause=np.array([causes.index(row["Class"]) for row in rows], dtype=np.int64),
    )
