"""What a mass tells along an axis and where it ends, beside plain sums."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.core import masses

PLACES = np.arange(120.0)


def hump(centre: float, spread: float = 2.0) -> np.ndarray:
    return np.exp(-(((PLACES - centre) / spread) ** 2) / 2.0)


@given(st.integers(0, 2**32 - 1), st.integers(1, 5), st.integers(2, 9), st.integers(1, 5))
def test_along_an_axis_it_tells_marginal_points_and_likeness(seed: int, outer: int, points: int, inner: int) -> None:
    weight = np.random.default_rng(seed).uniform(0.0, 1.0, (outer, points, inner)) ** 3
    marginal, used, alike = masses.along(weight)
    mass, square = weight.sum(1), (weight**2).sum(1)
    assert marginal == pytest.approx(weight.sum((0, 2)))
    assert used == pytest.approx((mass**3 / square).sum() / mass.sum())
    assert alike == pytest.approx((weight[:, 1:] * weight[:, :-1]).sum() / square.sum())


def test_nothing_on_a_line_is_no_harm() -> None:
    weight = np.zeros((2, 4, 1))
    weight[0, 1:3] = 1.0
    assert masses.along(weight)[1] == pytest.approx(2.0)


@pytest.mark.parametrize(
    ("marginal", "expected"),
    [([1, 2, 1], 1), ([3, 2, 1], 1), ([1, 2, 3], 1), ([3, 1, 2], 2), ([1, 1, 1], 1), ([5, 0, 1e-6, 0, 5], 2)],
)
def test_tops_are_counted_at_the_ends_and_on_plains(marginal: list[float], expected: int) -> None:
    assert masses.tops(np.array(marginal, dtype=np.float64), 1e-4) == expected


def test_the_lean_is_the_slope_of_the_mean_level() -> None:
    slope, level = np.linspace(-1.0, 1.0, 21), np.linspace(-4.0, 4.0, 161)
    joint = np.exp(-((level - 1.7 * slope[:, None]) ** 2) - slope[:, None] ** 2)
    assert masses.lean(joint, slope, level) == pytest.approx(1.7, rel=1e-3)


@pytest.mark.parametrize("beside", [0.0, 1e-12])
def test_a_mass_of_one_slope_leans_nowhere(beside: float) -> None:
    slope, level = np.linspace(-0.0123, 0.0125, 7), np.linspace(-0.5, -0.3, 20)
    joint = np.zeros((7, 20))
    joint[3] = np.exp(-(np.arange(20.0) ** 2) / 9.0)
    joint[4, 19] = beside
    assert masses.lean(joint, slope, level) == 0.0


def test_runs_are_told_apart_and_moved_back() -> None:
    joint = np.stack([hump(30.0) + hump(80.0), hump(33.0) + hump(83.0)])
    found = masses.runs(joint, np.array([0.0, 3.0]), 1e-5)
    reach = 2.0 * np.sqrt(2.0 * np.log(1e5))
    for low, high in found:
        assert min(abs(0.5 * (low + high) - centre) for centre in (30.0, 80.0)) < 0.1
        assert high - low == pytest.approx(2.0 * reach, abs=0.3)


def test_a_run_is_drawn_on_to_its_nearest_of_the_slope_before() -> None:
    joint = np.stack([hump(30.0) + hump(80.0), hump(42.0) + hump(92.0)])
    low, high = masses.runs(joint, np.zeros(2), 1e-5)[2]
    reach = 2.0 * np.sqrt(2.0 * np.log(1e5))
    assert (low, high) == pytest.approx((30.0 - reach, 42.0 + reach), abs=0.3)


def test_a_run_of_its_own_is_drawn_to_none() -> None:
    joint = np.stack([hump(80.0), hump(30.0) + hump(82.0)])
    found = masses.runs(joint, np.zeros(2), 1e-5)
    assert len(found) == 3
    low, high = found[1]
    assert 0.5 * (low + high) == pytest.approx(30.0, abs=0.1)
