"""Time of a thousand what-ifs in one call beside one call each, in one run: printed, never judged.

`python -m pytest tests/bench/bench_barrel.py -s` (files of this name are not collected otherwise).
"""

import statistics
import time
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from tests.core.barrel.drums import barrel
from tracker.core.barrel import whatif
from tracker.core.barrel.sums import sums

COUNT = 1_000
GOAL_MS = 50.0


def ms_of(work: Callable[[], object], times_over: int) -> float:
    times = []
    for _ in range(times_over):
        began = time.perf_counter()
        work()
        times.append(1000.0 * (time.perf_counter() - began))
    return statistics.median(times)


@pytest.mark.bench
def test_a_thousand_what_ifs() -> None:
    thickness = np.linspace(0.09, 0.14, COUNT)
    drums = np.linspace(10.0, 14.0, COUNT)
    factors = np.linspace(0.8, 1.6, COUNT)
    least = np.linspace(1.0, 6.0, COUNT)
    beats = np.linspace(14_400.0, 36_000.0, COUNT)
    made = barrel()
    asked: dict[str, tuple[Callable[[], object], Callable[[], object]]] = {
        "thickness": (
            lambda: sums(whatif.with_thickness(made, thickness).barrel),
            lambda: [sums(whatif.with_thickness(made, float(each)).barrel) for each in thickness],
        ),
        "drum": (
            lambda: sums(whatif.with_drum(made, drums).barrel),
            lambda: [sums(whatif.with_drum(made, float(each)).barrel) for each in drums],
        ),
        "train": (
            lambda: sums(whatif.with_train(made, factors).barrel),
            lambda: [sums(whatif.with_train(made, float(each)).barrel) for each in factors],
        ),
        "beat": (
            lambda: [sums(each.barrel) for each in whatif.at_beat(made, 18_000, beats)],
            lambda: [sums(each.barrel) for beat in beats for each in whatif.at_beat(made, 18_000, float(beat))],
        ),
        "best thickness": (
            lambda: whatif.best_thickness(replace(made, least_torque_nmm=least)),
            lambda: [whatif.best_thickness(replace(made, least_torque_nmm=float(each))) for each in least],
        ),
    }
    lines = ["", f"{COUNT:,} what-ifs   at once     one by one   ratio   (goal: {GOAL_MS:g} ms at once)"]
    for name, (at_once, one_by_one) in asked.items():
        fast, plain = ms_of(at_once, 9), ms_of(one_by_one, 1)
        lines.append(f"{name:14s}   {fast:6.2f} ms   {plain:7.0f} ms   {plain / fast:6.0f}")
    print("\n".join(lines))  # noqa: T201 (a table for people is all it is for)
