"""Values by their place in order, beside sorting."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from tracker.core.ranked import ranked


@given(st.integers(0, 2**32 - 1), st.integers(1, 400), st.sampled_from(["even", "few", "equal", "outlier"]))
def test_they_are_those_that_sorting_would_put_there(seed: int, count: int, kind: str) -> None:
    throws = np.random.default_rng(seed)
    values = throws.normal(size=(3, count)).astype(np.float32)
    if kind == "few":
        values = np.rint(values)
    if kind == "equal":
        values[:] = 1.5
    if kind == "outlier":
        values[:, 0] = 1e9
    places = np.sort(throws.integers(0, count, 5))
    assert np.array_equal(ranked(values, places), np.sort(values, axis=1)[:, places])
