"""The drawing says the statistics: thickness is chance, and nothing else."""

import re
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.web.rounds import curve
from tracker.core.windby import still_going
from tracker.web.taper import FULL_HALF, HEIGHT, Axis, Trace, bends, blank, chance, falls_to, points, taper

AXIS = Axis()
RUN = Trace(curve=curve(40.0), start_h=-30.0, seen_h=-6.0, wind_by_h=7.0)

traces = st.builds(
    lambda median, scatter, ago, share: Trace(
        curve=curve(median, scatter), start_h=-ago, seen_h=-ago * share, wind_by_h=median * 0.9 - ago
    ),
    st.floats(10, 800),
    st.floats(0.01, 0.4),
    st.floats(0, 900),
    st.floats(0, 1),
)


def halves(path: str) -> list[tuple[float, float]]:
    """Upper edge of an outline as (x, half its thickness)."""
    pairs = [(float(x), float(y)) for x, y in re.findall(r"(-?[\d.]+) (-?[\d.]+)", path)]
    return [(x, HEIGHT / 2 - y) for x, y in pairs[: len(pairs) // 2]]


def test_thickness_is_the_chance_of_still_going_given_what_was_seen() -> None:
    for x, half in halves(taper(RUN, AXIS).ahead):
        hours = x / 10 - AXIS.before_h - RUN.start_h
        wanted = still_going(RUN.curve, hours, seen_going_h=24.0)
        assert half / FULL_HALF == pytest.approx(wanted, abs=0.015)


def test_between_its_points_the_edge_stays_near_the_curve() -> None:
    edge = points(RUN, bends(RUN), -20.0, 76.0)
    for (a_h, a), (b_h, b) in pairwise(edge):
        assert chance(RUN, (a_h + b_h) / 2) == pytest.approx((a + b) / 2, abs=0.03)


def test_it_is_full_from_the_wind_to_the_last_sighting_and_nothing_before() -> None:
    assert chance(RUN, -30.1) == 0.0
    assert chance(RUN, -30.0) == chance(RUN, -6.0) == 1.0
    assert chance(RUN, 10.0) == pytest.approx(0.5, abs=0.01)


def test_a_well_known_watch_has_a_blunt_end_and_a_doubtful_one_a_point() -> None:
    def length(scatter: float) -> float:
        trace = Trace(curve=curve(40.0, scatter), start_h=0.0, seen_h=0.0)
        return falls_to(trace, 0.05) - falls_to(trace, 0.95)

    assert length(0.02) < 3.0
    assert length(0.2) > 20.0


@given(traces)
@settings(max_examples=100, deadline=None)
def test_every_drawing_is_finite_within_its_frame_and_only_thins(trace: Trace) -> None:
    drawn = taper(trace, AXIS)
    assert "nan" not in drawn.past + drawn.ahead
    assert "inf" not in drawn.past + drawn.ahead
    edge = halves(drawn.past) + halves(drawn.ahead)
    assert all(-10.0 <= x <= AXIS.width + 10.0 and 0.0 <= half <= FULL_HALF + 0.05 for x, half in edge)
    assert all(later <= earlier + 1e-9 for (_, earlier), (_, later) in pairwise(edge))
    assert drawn.notch is None or 0.0 <= drawn.notch <= 100.0
    assert drawn.hair is None or 0.0 <= drawn.hair[0] <= drawn.hair[1] <= 100.0


def test_the_two_halves_meet_at_now() -> None:
    drawn = taper(RUN, AXIS)
    assert halves(drawn.past)[-1] == halves(drawn.ahead)[0]


def test_the_notch_stands_at_the_wind_by_and_nowhere_if_that_is_outside() -> None:
    assert taper(RUN, AXIS).notch == pytest.approx(100 * 27 / 96, abs=0.01)
    far = Trace(curve=curve(190.0), start_h=0.0, seen_h=0.0, wind_by_h=170.0)
    assert taper(far, AXIS).notch is None


def test_the_hair_begins_within_the_point_so_that_no_dash_is_loose() -> None:
    drawn = taper(RUN, AXIS)
    assert drawn.hair is not None
    assert drawn.hair[0] < halves(drawn.ahead)[-1][0] / AXIS.width * 100 < drawn.hair[1]


def test_a_run_over_before_the_drawing_begins_leaves_nothing() -> None:
    drawn = taper(Trace(curve=curve(40.0), start_h=-200.0, seen_h=-190.0), AXIS)
    assert drawn.past == drawn.ahead == ""
    assert drawn.notch is None


def test_an_eight_day_watch_runs_off_the_edge() -> None:
    trace = Trace(curve=curve(190.0), start_h=-10.0, seen_h=0.0, wind_by_h=150.0)
    assert halves(taper(trace, AXIS).ahead)[-1] == (AXIS.width + 10.0, FULL_HALF)


def test_a_drawing_is_few_points() -> None:
    drawn = taper(Trace(curve=curve(40.0, 0.3), start_h=-25.0, seen_h=-25.0), AXIS)
    assert len(drawn.past + drawn.ahead) < 700


def test_a_watch_without_a_run_is_a_bar_up_to_now() -> None:
    assert blank(AXIS, -5.0).past == "M150.0 4.5H200.0V19.5H150.0Z"
    assert blank(AXIS, None).past.startswith("M-10.0 ")
