"""What only a process of its own can show: other hash seeds, crashes, and memory that Python does not see."""

from __future__ import annotations

import json
import os
import random
import subprocess
import sys

import pytest

from diagnose.reason.engine import Chainer
from tests.reason.reference import random_case, random_rules

_PRELUDE = """
import json, random, resource, sys
from diagnose.reason import engine
from diagnose.reason.engine import Chainer, EngineFault
from diagnose.reason.formula import And, Symbol
from diagnose.reason.layers import EngineRule
from tests.reason.reference import random_case, random_rules
from tests.reason.watched import Watched
"""


def run_fresh(script: str, **environment: str) -> str:
    """What a fresh interpreter prints for a script; a crash of it fails the test."""
    done = subprocess.run([sys.executable, "-c", _PRELUDE + script], capture_output=True, text=True, timeout=60,
                          env={**os.environ, **environment}, check=False)
    assert done.returncode == 0, done.stderr
    return done.stdout


@pytest.mark.parametrize("hash_seed", ["0", "1", "4242"])
def test_a_fresh_process_comes_to_the_same_answers(hash_seed: str) -> None:
    """Firings, order, matches and certainties are the same whatever the hash seed, and after other cases."""
    script = """
chainer, draw = Chainer(random_rules(5, 14, 5, 60)), random.Random(21)
cases = [random_case(draw, 14) for _ in range(120)]
print(json.dumps([[[f.rule, f.matched, f.gives, f.certainty] for f in chainer.run(true)] for true in cases[::-1]]))
"""
    fresh = json.loads(run_fresh(script, PYTHONHASHSEED=hash_seed))
    chainer, draw = Chainer(random_rules(5, 14, 5, 60)), random.Random(21)
    for true, answer in zip([random_case(draw, 14) for _ in range(120)], fresh[::-1], strict=True):
        assert [[f.rule, list(f.matched), f.gives, f.certainty] for f in chainer.run(true)] == answer


def test_memory_stays_level_over_twenty_thousand_cases() -> None:
    """The peak of the process grows by less than 3 MB after the first thousand cases."""
    script = """
chainer, draw = Chainer(random_rules(5, 20, 2, 20)), random.Random(2)
cases = [random_case(draw, 20) for _ in range(1000)]
peaks = []
for number in range(20):
    for true in cases:
        chainer.run(true)
    peaks.append(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)
print(peaks[-1] - peaks[0])
"""
    unit = 1 if sys.platform == "darwin" else 1024
    assert int(run_fresh(script)) * unit < 3_000_000


def test_faults_neither_crash_nor_pile_up_memory() -> None:
    """Three hundred rebuilds, also of sessions in which no rule ever fired, on memory filled with rubbish."""
    script = """
watched = Watched()
engine._load_library = lambda: watched
chainer = Chainer([EngineRule(f"r{n}", And((Symbol("x"), Symbol(f"s{n}")))) for n in range(100)])
chainer.run({"x": 1.0, "s7": 1.0})
peaks = []
for number in range(300):
    watched.faults["assert_facts"] = RuntimeError("error code: 303")
    try:
        chainer.run({"s7": 1.0})
        raise SystemExit("no fault")
    except EngineFault:
        pass
    if number % 2:
        assert [f.rule for f in chainer.run({"x": 1.0, "s7": 1.0})] == ["r7"]
    peaks.append(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)
print(peaks[-1] - peaks[20])
"""
    unit = 1 if sys.platform == "darwin" else 1024
    assert int(run_fresh(script, MALLOC_PERTURB_="165")) * unit < 3_000_000


def test_the_stock_host_is_never_imported() -> None:
    """Only the compiled part of the library is loaded, so that none of its threads or exceptions come along."""
    script = "Chainer([EngineRule('r', Symbol('a'))]).run({'a': 1.0}); print(sorted(sys.modules))"
    modules = run_fresh(script)
    assert "'durable_rules_engine'" in modules
    assert "'durable" not in modules.replace("'durable_rules_engine'", "")


def test_case_generator_is_deterministic() -> None:
    """The comparisons above rest on both processes making the same cases."""
    assert random_case(random.Random(1), 9) == random_case(random.Random(1), 9)
    assert random_rules(3, 5, 2, 9) == random_rules(3, 5, 2, 9)
