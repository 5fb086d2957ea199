"""The course of a reserve on the calendar."""

import pytest

from tests.plots.drawings import BERLIN, NOW
from tracker.core.paths import Track
from tracker.core.reserve import Band
from tracker.core.segment import YEAR
from tracker.plots.course import Course, ground, middle
from tracker.plots.picture import FAN

SINCE = NOW - 2 * YEAR
COURSE = Course(Track((0.0, 2.0, 4.0), (38.0, 34.0, 28.0), (40.0, 38.0, 36.0), (42.0, 42.0, 44.0)), SINCE, NOW)


def test_between_ages_it_is_drawn_straight_and_before_the_service_it_is_as_just_after_it() -> None:
    assert COURSE.at(SINCE + YEAR) == Band(36.0, 39.0, 42.0)
    assert COURSE.at(SINCE - YEAR) == Band(38.0, 40.0, 42.0)


def test_a_stretch_has_both_its_ends_and_the_ages_between() -> None:
    moments, bands = COURSE.between(SINCE + YEAR, SINCE + 3 * YEAR)
    assert moments == [SINCE + YEAR, NOW, SINCE + 3 * YEAR]
    assert [band.mid for band in bands] == [39.0, 38.0, 37.0]


def test_it_is_drawn_in_the_unit_asked_for() -> None:
    points = COURSE.between(SINCE, NOW)
    low, high = ground(points, 24.0, BERLIN, fill=FAN)
    assert low["y"] == pytest.approx([38 / 24, 34 / 24], abs=1e-3)
    assert high["y"] == pytest.approx([42 / 24, 42 / 24], abs=1e-3)
    assert (high["fill"], high["fillcolor"]) == ("tonexty", FAN)
    assert middle(points, 1.0, BERLIN, dash="dash")["y"] == [40.0, 38.0]
