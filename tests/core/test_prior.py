import numpy as np
import pytest
from scipy.integrate import quad
from scipy.stats import norm

from tracker.core.prior import change_probability, dropped_level_density, log_normal_density


def test_a_change_is_a_matter_of_three_in_a_hundred_years_of_use() -> None:
    assert [change_probability(years) for years in (0.0, 1.0, 10.0)] == pytest.approx([0.0, 0.02955, 0.25918], abs=1e-5)


def test_the_log_density_agrees_with_scipy() -> None:
    x = np.linspace(-1.0, 1.0, 11)
    assert log_normal_density(x, -0.02, 0.12) == pytest.approx(norm.logpdf(x, -0.02, 0.12))


@pytest.mark.parametrize("steepest", [-0.1, -0.25, -0.6, -0.9])
@pytest.mark.parametrize("level", [-0.9, -0.4, -0.1])
def test_the_level_after_a_drop_is_level_and_drop_together(level: float, steepest: float) -> None:
    by_quadrature = quad(lambda d: norm.pdf(level - d, -0.02, 0.12) / 0.5, -0.6, max(steepest, -0.6))[0]
    found = dropped_level_density(np.array([level]), 0.12, steepest)
    assert float(found[0]) == pytest.approx(by_quadrature, abs=1e-6)
