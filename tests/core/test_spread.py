import numpy as np
import pytest
from scipy.stats import norm

from tracker.core.spread import band, deposit, finer, grid_over, quantiles, smear, survival

GRID = grid_over(-2.0, 2.0)
DOT = deposit(GRID, np.array([0.1234]), np.array([[1.0]]))


def test_a_deposited_point_keeps_its_mass_and_its_place() -> None:
    assert DOT.sum() == pytest.approx(1.0)
    assert float((DOT[0] * GRID.centre).sum()) == pytest.approx(0.1234)


@pytest.mark.parametrize(("low", "high"), [(-0.6, -0.1), (-0.01, 0.01), (0.1, 0.6)])
def test_a_smeared_point_is_uniform_where_it_was_smeared(low: float, high: float) -> None:
    smeared = smear(GRID, DOT, low, high)[0]
    assert smeared.sum() == pytest.approx(1.0)
    expected = [0.1234 + low + p * (high - low) for p in (0.05, 0.5, 0.95)]
    assert list(quantiles(GRID, smeared, (0.05, 0.5, 0.95))) == pytest.approx(expected, abs=GRID.step)


def test_a_smear_of_no_width_changes_nothing() -> None:
    assert smear(GRID, DOT, 0.0, 0.0) is DOT


def test_finer_points_follow_a_smooth_mass() -> None:
    axis = np.linspace(-6.0, 6.0, 21)
    finer_axis, mass = finer(axis, norm.pdf(axis) * 0.6)
    assert mass.sum() == pytest.approx(1.0, abs=1e-3)
    assert mass / 0.2 == pytest.approx(norm.pdf(finer_axis), abs=4e-3)


def test_the_survival_is_that_of_the_mixture() -> None:
    mass = deposit(GRID, np.array([0.1, 0.3]), np.array([[0.25, 0.25], [0.5, 0.0]]))
    found = survival(GRID, [(np.array([0.1, 0.2]), mass)])
    z = GRID.centre
    expected = 0.25 * norm.sf((z - 0.1) / 0.1) + 0.25 * norm.sf((z - 0.3) / 0.1) + 0.5 * norm.sf((z - 0.1) / 0.2)
    assert found == pytest.approx(expected, abs=2e-5)


def test_the_band_holds_the_five_fifty_and_ninety_five_per_cent_points() -> None:
    found = band(GRID, norm.pdf(GRID.centre, 0.2, 0.1))
    assert (found.low, found.mid, found.high) == pytest.approx(tuple(norm.ppf([0.05, 0.5, 0.95], 0.2, 0.1)), abs=1e-3)
