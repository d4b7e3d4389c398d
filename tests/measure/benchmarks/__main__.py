"""What the program costs, beside others where others do the same.

Run ``python -m tests.measure.benchmarks [NAME ...] [--quick]``; without a name everything is measured, which takes
an hour of one processor, most of it for ``memory``. Needs the extras ``test`` and ``bench``; what is not
installed is left out and the row says so. A figure is the median of several rounds in which all sides take turns; CPU
is what all processors spent on it; a busy machine raises that too, so compare within a row.
"""

from __future__ import annotations

import argparse
import os
import platform
import tempfile
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path

from tests.measure.benchmarks import belief, chaining, climate, growth, letters, memory, questions, start, triage
from tests.measure.benchmarks.table import HEADER, Row, markdown

Benchmark = Callable[[bool, Path], Iterator[Row]]
BENCHMARKS: Mapping[str, Benchmark] = {
    "start": start.rows, "letters": letters.rows, "questions": questions.rows, "chaining": chaining.rows,
    "belief": belief.rows, "climate": climate.rows, "triage": triage.rows, "rules": growth.rows,
    "length": letters.length_rows, "many": letters.many_rows, "memory": memory.rows,
}


def _machine() -> str:
    load = f", load {os.getloadavg()[0]:.1f}" if hasattr(os, "getloadavg") else ""
    return f"Python {platform.python_version()}, {platform.system()} {platform.machine()}, {os.cpu_count()} cores{load}"


def main() -> None:
    """Measure what is asked for and print the table, a row as soon as it is known."""
    parser = argparse.ArgumentParser(prog="python -m tests.measure.benchmarks", description=__doc__)
    parser.add_argument("names", nargs="*", metavar="NAME", help=", ".join(BENCHMARKS))
    parser.add_argument("--quick", action="store_true", help="fewer rounds, fewer letters, fewer files")
    options = parser.parse_args()
    unknown = [name for name in options.names if name not in BENCHMARKS]
    if unknown:
        parser.error(f"there is no benchmark {', '.join(unknown)}; there are {', '.join(BENCHMARKS)}")
    print(_machine(), HEADER, sep="\n\n", flush=True)
    for name in options.names or BENCHMARKS:
        with tempfile.TemporaryDirectory() as folder:
            for row in BENCHMARKS[name](options.quick, Path(folder)):
                print(markdown(row), flush=True)
    print(f"\n{_machine()} in the end", flush=True)


if __name__ == "__main__":
    main()
