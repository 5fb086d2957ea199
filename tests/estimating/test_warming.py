"""Loops loaded before anyone asks."""

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]

CODE = """
import numba.core.event as event
from tests.bench.bench_reserve import mixed
from tracker.core.evidence import at_least
from tracker.core.likelihood import Run
from tracker.core.reserve import estimate, prior_for
from tracker.estimating.warming import warm
from tracker.foresight import too_long

compiled = []

class Told(event.Listener):
    def on_start(self, event): compiled.append(event.data["dispatcher"].py_func.__name__)
    def on_end(self, event): pass

warm()
with event.install_listener("numba:compile", Told()):
    for count in (0, 3, 60, 300):
        estimate(mixed(count), prior_for(42.0), now_years=5.0)
    many = tuple(Run(0.003 * place, at_least(20.0 + place % 7)) for place in range(400))
    too_long(prior_for(42.0), many, 1.3)
    estimate(many, prior_for(42.0), now_years=1.3)
print(compiled)
"""


def test_afterwards_no_estimate_has_anything_left_to_compile(tmp_path: Path) -> None:
    env = {**os.environ, "NUMBA_CACHE_DIR": str(tmp_path)}
    run = subprocess.run(
        [sys.executable, "-c", CODE], cwd=ROOT, env=env, capture_output=True, text=True, check=True, timeout=300
    )
    assert run.stdout.strip() == "[]"
