"""Circular statistics beside SciPy and published examples."""

import math
import random

import pytest
from scipy.stats import circmean, circstd

from tracker.core.habit import DAY_MIN, rayleigh, resultant, time_of_day


@pytest.mark.parametrize(
    ("degrees", "mean"),
    [
        # SciPy reference, scipy.stats.circmean, Examples.
        ([20.0, 30.0, 330.0], 7.294976657784009),
        # The same page up to SciPy 1.5, there in radians: 0.1, 2 pi + 0.2, 6 pi + 0.3 have the mean 0.2.
        ([math.degrees(angle) for angle in (0.1, 2 * math.pi + 0.2, 6 * math.pi + 0.3)], math.degrees(0.2)),
    ],
)
def test_mean_directions_are_those_printed(degrees: list[float], mean: float) -> None:
    direction, _ = resultant([math.radians(each) for each in degrees])
    assert math.degrees(direction) == pytest.approx(mean, abs=1e-9)


def test_the_eight_directions_of_a_textbook() -> None:
    # Zar, Biostatistical Analysis, circular chapter, worked example (printed values from memory): 99 degrees, 0.82522.
    direction, length = resultant([math.radians(each) for each in (45, 55, 81, 96, 110, 117, 132, 154)])
    assert math.degrees(direction) == pytest.approx(98.98775, abs=1e-5)
    assert length == pytest.approx(0.82522, abs=1e-5)


@pytest.mark.parametrize("seed", range(5))
def test_times_of_day_equal_scipy(seed: int) -> None:
    draw = random.Random(seed)
    minutes = [draw.gauss(draw.choice((0.0, 30.0)), 45.0) % DAY_MIN for _ in range(25)]
    found = time_of_day(minutes)
    assert found is not None
    assert found.minute == pytest.approx(float(circmean(minutes, high=DAY_MIN)), abs=1e-6)
    assert found.spread_min == pytest.approx(float(circstd(minutes, high=DAY_MIN)), abs=1e-6)


def test_rayleigh_keeps_its_promise_under_evenly_strewn_times() -> None:
    draw = random.Random(11)
    small = 0
    for _ in range(4_000):
        _, length = resultant([draw.uniform(0.0, 2.0 * math.pi) for _ in range(12)])
        small += rayleigh(length, 12) < 0.05
    assert small / 4_000 == pytest.approx(0.05, abs=0.012)
