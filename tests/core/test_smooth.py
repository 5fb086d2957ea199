"""Masses shared between bins, smeared and made finer, beside plain sums."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.core.smooth import deposited, smeared, thirds


def test_what_is_deposited_beyond_an_end_stays_there() -> None:
    found = deposited(np.array([-3.0, 1.25, 99.0]), np.array([[1.0, 2.0, 4.0], [1.0, 0.0, 0.0]]), 5)
    assert found == pytest.approx(np.array([[1.0, 1.5, 0.5, 0.0, 4.0], [1.0, 0.0, 0.0, 0.0, 0.0]]), abs=1e-5)


@given(st.integers(0, 2**32 - 1), st.floats(-30.0, 30.0), st.floats(0.01, 40.0))
def test_a_smear_is_the_mean_of_the_running_sum_over_all_moves(seed: int, low: float, wide: float) -> None:
    mass = np.random.default_rng(seed).uniform(0.0, 1.0, (2, 64)) ** 4
    found = smeared(mass, low, low + wide)
    assert found.sum(1) == pytest.approx(mass.sum(1))
    assert (found >= 0.0).all()
    bins = np.arange(-200.0, 264.0)
    for row, those in zip(found, mass, strict=True):
        total = np.where(bins < 0, 0.0, np.cumsum(those)[np.clip(bins, 0, 63).astype(int)])
        area = np.cumsum(total) - 0.5 * total
        near, far = (np.interp(np.arange(64.0) - end, bins, area) for end in (low, low + wide))
        assert np.cumsum(row)[:-1] == pytest.approx(((near - far) / wide)[:-1], rel=1e-9, abs=1e-9)


@given(st.integers(0, 2**32 - 1), st.integers(1, 4), st.integers(1, 12), st.integers(1, 4))
def test_thirds_follow_cubics_along_the_middle_axis(seed: int, outer: int, points: int, inner: int) -> None:
    mass = np.random.default_rng(seed).uniform(0.0, 1.0, (outer, points, inner))
    padded = np.concatenate([np.zeros((outer, 2, inner)), mass, np.zeros((outer, 2, inner))], axis=1)
    cubic = np.array([-5.0, 60.0, 30.0, -4.0]) / 243.0
    found = thirds(mass)
    for at in range(points):
        after = sum(part * padded[:, at + 1 + k] for k, part in enumerate(cubic))
        before = sum(part * padded[:, at + 3 - k] for k, part in enumerate(cubic))
        assert found[:, 3 * at + 1] == pytest.approx(mass[:, at] / 3.0)
        assert found[:, 3 * at + 2] == pytest.approx(np.maximum(after, 0.0), abs=1e-15)
        assert found[:, 3 * at] == pytest.approx(np.maximum(before, 0.0), abs=1e-15)
