"""What each gap holds of a cell, beside plain sums."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.core.gapmass import factors


@given(st.integers(0, 2**32 - 1), st.sampled_from([1e-6, 0.01, 1.0]), st.floats(-3000.0, 3000.0))
def test_a_cell_holds_of_each_gap_the_product_of_before_and_since(seed: int, heat: float, high: float) -> None:
    throws = np.random.default_rng(seed)
    gaps, scatters, slopes, befores, afters = throws.integers(1, 9, 5)
    wide = throws.choice([1.0, 300.0])
    past = wide * throws.normal(size=(gaps, scatters, slopes, befores)) + high
    since = wide * throws.normal(size=(gaps, scatters, slopes, afters)) - 2.0 * high
    log_prior, log_share = throws.normal(size=(scatters, slopes)), np.log(throws.uniform(0.0, 1.0, gaps) + 1e-12)
    before, after, log_scale = factors(past, since, log_prior, log_share, heat)
    found = before[:, :, :, :, None].astype(np.float64) * after[:, :, :, None, :]
    logs = heat * (past[:, :, :, :, None] + since[:, :, :, None, :]) + log_share[:, None, None, None, None]
    plain = (logs + log_prior[:, :, None, None]).transpose(1, 2, 0, 3, 4)
    found *= np.exp(log_scale - plain.max())
    assert found == pytest.approx(np.exp(plain - plain.max()), rel=1e-4, abs=1e-20)
    assert found.max() == pytest.approx(1.0, rel=1e-5)


def test_whatever_is_held_is_held_in_normal_singles() -> None:
    throws = np.random.default_rng(5)
    past, since = -400.0 * throws.uniform(size=(5, 2, 3, 20)), -400.0 * throws.uniform(size=(5, 2, 3, 28))
    before, after, _ = factors(past, since, np.zeros((2, 3)), np.zeros(5), 1.0)
    products = before[:, :, :, :, None] * after[:, :, :, None, :]
    assert (products == 0.0).any()
    assert products[products > 0.0].min() >= np.finfo(np.float32).tiny
