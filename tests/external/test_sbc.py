"""Simulation-based calibration (Talts et al. 2018): where the truth lies in the posterior is uniform, as it must be.

Two hundred draws here; `make soak` takes a thousand.
"""

import pytest
from scipy.stats import chi2

from tests.soak.ranks import BINS, chi_squared, p_value, ranks


@pytest.fixture(scope="module")
def found() -> dict[str, list[float]]:
    return ranks(seed=11, draws=200)


@pytest.mark.parametrize("name", ["c", "b1", "sigma", "reserve now"])
def test_truths_lie_evenly_in_their_posteriors(found: dict[str, list[float]], name: str) -> None:
    assert p_value(chi_squared(found[name])) > 0.01


@pytest.mark.parametrize("statistic", [2.0, 9.0, 21.7, 40.0])
def test_the_p_value_is_that_of_the_chi_squared_distribution(statistic: float) -> None:
    assert p_value(statistic) == pytest.approx(chi2.sf(statistic, BINS - 1), abs=2e-3)
