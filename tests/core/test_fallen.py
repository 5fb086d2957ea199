"""What is lost, and what its owner wants at least."""

import math

import numpy as np
import pytest

from tracker.core.evidence import exact
from tracker.core.fallen import fallen
from tracker.core.paths import Paths
from tracker.core.prior import prior_for
from tracker.core.reserve import Run, estimate

NEVER = math.inf


def paths(*courses: tuple[float, float, float, float]) -> Paths:
    """Courses of level at the service, slope, age of the change, drop."""
    return Paths(*(np.array(column) for column in zip(*courses, strict=True)), *np.zeros((2, len(courses))))


@pytest.mark.parametrize(
    ("course", "lost"),
    [
        ((0.0, math.log(0.9) / 2, NEVER, 0.0), 0.1),
        ((0.3, 0.0, 1.0, math.log(0.75)), 0.25),
        ((0.0, 0.0, 3.0, -0.3), 0.0),
        ((0.0, math.log(1.1) / 2, NEVER, 0.0), -0.1),
    ],
)
def test_what_is_lost_is_a_share_of_the_reserve_after_service(
    course: tuple[float, float, float, float], lost: float
) -> None:
    found = fallen(paths(course), 2.0, 0.1).lost
    assert (found.low, found.mid, found.high) == pytest.approx((lost, lost, lost))


def test_low_is_the_lesser_loss() -> None:
    found = fallen(paths(*((0.0, slope, NEVER, 0.0) for slope in np.linspace(-0.1, 0.0, 101))), 1.0, 0.1).lost
    assert found.low < found.mid < found.high
    assert found.mid == pytest.approx(1 - math.exp(-0.05))


def test_twice_the_threshold_counts_the_courses_that_lost_it() -> None:
    courses = [(0.0, 0.0, 1.0, math.log(left)) for left in (0.95, 0.81, 0.79, 0.5)]
    assert fallen(paths(*courses), 2.0, 0.1).twice_probability == 0.5
    assert fallen(paths(*courses), 2.0, 0.2).twice_probability == 0.25


def test_a_least_reserve_has_a_date_also_where_it_was_never_reached() -> None:
    courses = paths((0.1, -0.05, NEVER, 0.0), (-0.3, 0.01, NEVER, 0.0), (0.0, 0.0, NEVER, 0.0), (0.0, 0.0, 1.0, -0.5))
    found = fallen(courses, 2.0, 0.1, math.exp(-0.2))
    assert (found.below_probability, found.below_chance) == (0.5, 0.75)
    assert found.below_years is not None
    assert found.below_years.mid == pytest.approx(1.0)
    assert found.below_years.low == 0.0
    assert found.below_years.high is None


def test_without_a_least_reserve_nothing_is_said_of_it() -> None:
    found = fallen(paths((0.0, -0.1, NEVER, 0.0)), 2.0, 0.1)
    assert (found.below_probability, found.below_chance, found.below_years) == (0.0, 0.0, None)


def test_the_estimate_carries_it() -> None:
    runs = [Run(0.1 * i, exact(42.0 * (0.94 ** (0.1 * i)) + 0.2 * (i % 3))) for i in range(1, 30)]
    found = estimate(runs, prior_for(42), now_years=3.0, least_h=38.0)
    lost = 1 - found.reserve_h.mid / found.baseline_h.mid
    assert found.fallen.lost.mid == pytest.approx(lost, abs=0.01)
    assert found.fallen.twice_probability <= found.fall_probability
    assert found.fallen.below_probability > 0.95
    assert found.fallen.below_years is not None
    assert found.fallen.below_years.mid == pytest.approx(math.log(42.2 / 38.0) / -math.log(0.94), abs=0.3)
