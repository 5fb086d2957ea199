import math

import numpy as np
import pytest

from tracker.core import reweigh
from tracker.core.evidence import exact
from tracker.core.paths import FORECAST_YEARS, Passing, Paths, Track, ages_to_show, drawn, passing, track
from tracker.core.prior import prior_for
from tracker.core.reserve import Run, estimate, posterior_of

FALL = math.log(0.9)
NEVER = math.inf


def paths(*courses: tuple[float, float, float, float]) -> Paths:
    """Courses of level at the service, slope, age of the change, drop."""
    return Paths(*(np.array(column) for column in zip(*courses, strict=True)), *np.zeros((2, len(courses))))


@pytest.mark.parametrize(
    ("slope", "change", "drop", "expected"),
    [
        (-0.02, NEVER, 0.0, -FALL / 0.02),
        (-0.02, 3.0, -0.3, 3.0),
        (-0.02, 8.0, -0.3, -FALL / 0.02),
        (-0.002, 3.0, -0.1, 3.0),
        (-0.0005, 3.0, -0.1, (-FALL - 0.1) / 0.0005),
        (0.01, 1.0, -0.3, 1.0),
    ],
)
def test_a_threshold_is_passed_by_slope_or_drop_whichever_is_first(
    slope: float, change: float, drop: float, expected: float
) -> None:
    chance, band = passing(paths((0.0, slope, change, drop)), FALL, 0.0)
    assert band is not None
    assert (chance, band.mid) == pytest.approx((1.0, expected))


@pytest.mark.parametrize("course", [(0.0, 0.01, NEVER, 0.0), (0.0, 0.1, 5.0, -0.2), (0.0, -0.0001, NEVER, 0.0)])
def test_what_never_passes_has_no_date(course: tuple[float, float, float, float]) -> None:
    assert passing(paths(course), FALL, 2.0) == (0.0, None)


def test_a_course_that_never_passes_counts_as_later_than_all_others() -> None:
    passes, stays = (0.0, -0.05, NEVER, 0.0), (0.0, 0.01, NEVER, 0.0)
    age = -FALL / 0.05
    assert passing(paths(*[passes] * 12, *[stays] * 8), FALL, 0.0) == (0.6, Passing(age, age, None))
    assert passing(paths(*[passes] * 8, *[stays] * 12), FALL, 0.0) == (0.4, Passing(age, None, None))


def test_the_track_shows_level_slope_and_drop() -> None:
    found = track(paths((0.1, -0.01, 1.5, -0.2)), 42.0, np.array([0.0, 1.0, 2.0]))
    assert found.mid == pytest.approx([42.0 * math.exp(level) for level in (0.1, 0.09, -0.12)])


@pytest.mark.parametrize("now", [0.0, 2.0])
def test_ages_run_from_the_service_past_now(now: float) -> None:
    ages = ages_to_show(now)
    assert ages[0] == 0.0
    assert now in ages
    assert (np.diff(ages) > 0.0).all()
    assert now < ages[-1] < now + FORECAST_YEARS


@pytest.mark.parametrize("dropped", [True, False])
def test_at_service_and_now_the_track_is_the_estimate(*, dropped: bool) -> None:
    runs = [Run(0.1 * i, exact((31.0 if dropped and i > 11 else 41.0) + 0.4 * (i % 4))) for i in range(1, 20)]
    found = estimate(runs, prior_for(42.0), now_years=2.0)
    assert found.history is not None
    for band, age in ((found.baseline_h, 0.0), (found.reserve_h, 2.0)):
        at = found.history.age_years.index(age)
        points = (found.history.low[at], found.history.mid[at], found.history.high[at])
        assert points == pytest.approx((band.low, band.mid, band.high), rel=0.005)


def test_a_drop_is_dated_between_the_runs_that_show_it() -> None:
    runs = [Run(0.1 * i, exact((41.0 if i < 12 else 31.0) + 0.3 * (i % 4))) for i in range(1, 20)]
    found = estimate(runs, prior_for(42.0), now_years=2.0)
    assert found.change_years is not None
    assert found.threshold_years is not None
    assert 1.1 <= found.change_years.low < found.change_years.high <= 1.2
    assert (found.threshold_chance, found.threshold_years.mid) == pytest.approx((1.0, 1.15), abs=0.01)


def test_a_drop_hardly_believed_has_no_date() -> None:
    runs = [Run(0.1 * i, exact(41.0 + 0.4 * (i % 4))) for i in range(1, 20)]
    assert estimate(runs, prior_for(42.0), now_years=2.0).change_years is None


def test_without_runs_a_drop_may_have_come_at_any_age() -> None:
    found = estimate([], prior_for(42.0), now_years=4.0).change_years
    assert found is not None
    assert (found.low, found.mid, found.high) == pytest.approx((0.2, 2.0, 3.8))


@pytest.mark.parametrize("heat", [1.0, 0.5])
def test_courses_by_their_weight_are_the_estimate(heat: float) -> None:
    runs = [Run(0.1 * i, exact((31.0 if i > 11 else 41.0) + 0.4 * (i % 4))) for i in range(1, 20)]
    prior = prior_for(42.0)
    found = estimate(runs, prior, now_years=2.0)
    courses = drawn(posterior_of(runs, prior, now_years=2.0), prior, 2.0, heat=heat)
    weight = reweigh.weights(courses.log_weight)
    level, scatter = (reweigh.band(each, weight) for each in (courses.level_at(2.0), courses.log_sigma))
    assert found.scatter is not None
    assert 42.0 * math.exp(level.mid) == pytest.approx(found.reserve_h.mid, rel=0.002)
    assert 42.0 * math.exp(level.low) == pytest.approx(found.reserve_h.low, rel=0.005)
    assert math.exp(scatter.mid) == pytest.approx(found.scatter.mid, rel=0.05)


def test_courses_drawn_at_a_lower_heat_reach_further() -> None:
    posterior = posterior_of([], prior_for(42.0), now_years=1.0)
    even, spread_out = (drawn(posterior, prior_for(42.0), 1.0, heat=heat) for heat in (1.0, 0.5))
    assert np.std(spread_out.level) > 1.2 * np.std(even.level)
    assert np.ptp(even.log_weight) == pytest.approx(0.0, abs=0.1)


@pytest.mark.parametrize("age", [-1.0, 0.0, 0.4, 1.0, 2.0, 2.75, 3.0, 9.0])
def test_between_its_ages_a_track_goes_straight_and_beyond_them_stays(age: float) -> None:
    course = Track((0.0, 1.0, 3.0), (38.0, 37.0, 30.0), (40.0, 39.0, 35.0), (42.0, 42.0, 40.0))
    expected = [np.interp(age, course.age_years, points) for points in (course.low, course.mid, course.high)]
    assert course.at(age) == pytest.approx(expected)
