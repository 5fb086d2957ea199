"""Cells picked by their mass, beside the running sum."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.core.picked import picked


@given(st.integers(0, 2**32 - 1), st.integers(1, 60), st.integers(1, 200), st.sampled_from([1.0, 0.5]))
def test_they_lie_where_the_running_sum_reaches_even_steps(seed: int, cells: int, count: int, heat: float) -> None:
    mass = np.random.default_rng(seed).integers(0, 4, cells) ** 2.0 + np.eye(1, cells)[0]
    found, total = picked(mass, count, heat)
    rising = np.cumsum(mass**heat)
    assert total == pytest.approx(rising[-1])
    steps = total * (np.arange(count) + 0.5) / count
    # A step that meets the sum of a cell to the last bit may go to either.
    assert (found >= np.searchsorted(rising, steps * (1 - 1e-12))).all()
    assert (found <= np.searchsorted(rising, steps * (1 + 1e-12))).all()


def test_singles_are_summed_as_doubles() -> None:
    mass = np.full(3_000_000, 0.1, dtype=np.float32)
    found, total = picked(mass, 3, 1.0)
    assert total == pytest.approx(300_000.0, rel=1e-6)
    assert list(found) == pytest.approx([500_000, 1_500_000, 2_500_000], abs=2)
