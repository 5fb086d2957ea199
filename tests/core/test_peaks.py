"""A reserve that may be one of two is told as two, one that stands in one piece as one."""

import numpy as np
import pytest

from tracker.core.evidence import Evidence, at_least, exact
from tracker.core.peaks import peaks
from tracker.core.reserve import Estimate, Run, estimate, prior_for
from tracker.core.spread import grid_over

GRID = grid_over(3.0, 5.0)


def bell(centre: float, width: float) -> np.ndarray:
    return np.exp(-0.5 * ((GRID.centre - centre) / width) ** 2) / width


def test_one_hump_is_no_choice() -> None:
    assert peaks(GRID, bell(4.0, 0.1)) == ()


def test_a_shoulder_is_no_hump() -> None:
    assert peaks(GRID, bell(4.0, 0.05) + 0.5 * bell(4.1, 0.05)) == ()


def test_a_hump_of_next_to_no_share_is_not_told() -> None:
    assert peaks(GRID, bell(4.0, 0.03) + 0.05 * bell(4.4, 0.03)) == ()


def test_two_humps_are_told_with_their_shares_and_bands() -> None:
    low, high = peaks(GRID, 3.0 * bell(3.8, 0.03) + bell(4.2, 0.05))
    assert (low.share, high.share) == pytest.approx((0.75, 0.25), abs=1e-3)
    assert low.band.mid == pytest.approx(3.8, abs=1e-3)
    assert (high.band.low, high.band.high) == pytest.approx((4.2 - 1.645 * 0.05, 4.2 + 1.645 * 0.05), abs=2e-3)


def test_hands_twelve_hours_apart_leave_two_reserves_until_one_run_settles_it() -> None:
    hands = Evidence("one_of", ((57.8, 58.2), (69.8, 70.2)))
    runs = [Run(age, at_least(49.0)) for age in (0.1, 0.2, 0.3)] + [Run(age, hands) for age in (0.15, 0.25, 0.35)]
    unsettled = estimate(runs, prior_for(66.0), now_years=0.4)
    low, high = unsettled.one_of_h
    assert low.band.low < 58.0 < low.band.high < high.band.low < 70.0 < high.band.high
    assert low.share + high.share == pytest.approx(1.0, abs=0.02)
    assert Estimate.from_dict(unsettled.to_dict()).one_of_h == unsettled.one_of_h
    assert estimate([*runs, Run(0.4, exact(70.1))], prior_for(66.0), now_years=0.4).one_of_h == ()
