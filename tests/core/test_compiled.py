"""Loops that are compiled: where, and with one outcome."""

import math
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from tracker.core import compiled

ROOT = Path(__file__).parents[2]


def test_where_nothing_can_be_kept_it_is_compiled_all_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    def njit(function: Any, **options: Any) -> Any:
        if options.pop("cache", False):
            raise RuntimeError("no locator available")
        return function

    monkeypatch.setattr(compiled, "njit", njit)
    assert compiled.compiled(math.sqrt) is math.sqrt


def test_a_process_that_compiles_and_one_that_takes_what_was_kept_say_the_same_to_the_last_bit(tmp_path: Path) -> None:
    code = (
        "from tests.bench.bench_reserve import mixed, prior_for, estimate; "
        "print(repr(estimate(mixed(150), prior_for(42.0), now_years=5.0)))"
    )
    env = {**os.environ, "NUMBA_CACHE_DIR": str(tmp_path)}
    said = [
        subprocess.run(
            [sys.executable, "-c", code], cwd=ROOT, env=env, capture_output=True, text=True, check=True
        ).stdout
        for _ in range(2)
    ]
    assert {each.name.split(".")[0] for each in tmp_path.rglob("*.nbi")} >= {"mixture", "gapmass"}
    assert said[0] == said[1] != ""


def test_a_power_of_two_is_that_of_numpy() -> None:
    for power in np.linspace(-126.0, 0.0, 3001, dtype=np.float32):
        assert compiled.two_to(power) == pytest.approx(float(np.exp2(np.float64(power))), rel=4e-7)


def test_a_logarithm_is_that_of_numpy() -> None:
    x = np.concatenate([10.0 ** np.linspace(-300.0, 300.0, 3001), np.linspace(0.5, 2.0, 3001)])
    found = np.array([compiled.logarithm(each) for each in x])
    assert found == pytest.approx(np.log(x), rel=1e-12, abs=1e-12)
