import numpy as np
import pytest
from scipy.special import ndtr
from scipy.stats import norm

from tracker.core import normal


def test_the_cdf_agrees_with_scipy_to_two_in_a_hundred_million() -> None:
    z = np.linspace(-12.0, 12.0, 100_003)
    assert np.abs(normal.cdf(z) - ndtr(z)).max() < 2e-8


def test_the_density_agrees_with_scipy() -> None:
    z = np.linspace(-9.0, 9.0, 1_001)
    assert normal.pdf(z) == pytest.approx(norm.pdf(z), abs=1e-15)


def test_the_cdf_never_falls() -> None:
    assert (np.diff(normal.cdf(np.linspace(-10.0, 10.0, 200_001))) >= 0.0).all()


@pytest.mark.parametrize(("z", "expected"), [(-1e9, 0.0), (-40.0, 0.0), (40.0, 1.0), (1e9, 1.0), (0.0, 0.5)])
def test_far_out_the_cdf_is_nought_or_one(z: float, expected: float) -> None:
    assert float(normal.cdf(z)) == pytest.approx(expected, abs=1e-17)


def test_a_narrow_difference_keeps_its_relative_size() -> None:
    z, width = np.linspace(-3.0, 3.0, 601), 1e-5
    narrow = normal.cdf(z + width) - normal.cdf(z)
    assert narrow == pytest.approx(norm.pdf(z) * width, rel=2e-3)


def test_the_exponential_is_numpys_and_next_to_nothing_below_it() -> None:
    logs = np.linspace(-199.0, 5.0, 1_001)
    assert (normal.exp(logs) == np.exp(logs)).all()
    assert (normal.exp(np.array([-1e9, -np.inf])) < 1e-86).all()
