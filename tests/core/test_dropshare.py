"""The share of a cell whose drop lies in a range, beside throws."""

import numpy as np
import pytest

from tracker.core.dropshare import shares

WIDE, NARROW = 0.08, 0.03


@pytest.mark.parametrize("drop", [-0.65, -0.6, -0.58, -0.3, -0.14, -0.1, -0.06, 0.1])
@pytest.mark.parametrize("high", [-0.1, -0.25, -0.6])
def test_it_is_that_of_levels_thrown_within_the_cell(drop: float, high: float) -> None:
    throws = np.random.default_rng(1)
    thrown = drop + WIDE * throws.uniform(-0.5, 0.5, 400_000) - NARROW * throws.uniform(-0.5, 0.5, 400_000)
    before = np.array([[0.2]])
    found = shares(before, before + drop, (WIDE, NARROW), -0.6, np.array([high]))
    assert found[0, 0, 0] == pytest.approx(((thrown > -0.6) & (thrown <= high)).mean(), abs=0.004)


def test_each_slope_has_levels_and_a_bound_of_its_own() -> None:
    before = np.array([[0.0, 0.1], [0.2, 0.3]])
    after = np.array([[-0.3, -0.2, -0.1], [-0.1, 0.0, 0.1]])
    found = shares(before, after, (0.01, 0.01), -0.6, np.array([-0.1, -0.25]))
    drop = after[:, None, :] - before[:, :, None]
    assert found.shape == (2, 2, 3)
    clear = (np.abs(drop - np.array([-0.1, -0.25])[:, None, None]) > 0.02) & (drop > -0.58)
    assert np.array_equal(found[clear] > 0.5, (drop < np.array([-0.1, -0.25])[:, None, None])[clear])
