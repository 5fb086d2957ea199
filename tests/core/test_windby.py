import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.core.curve import Curve
from tracker.core.evidence import at_least, exact
from tracker.core.reserve import Run, estimate, prior_for
from tracker.core.windby import LEAST_RISK, MOST_RISK, hours_at_risk, risk_for, still_going, stopped_h

STOPS = [Run(0.2 * i, exact(40.0 + 0.5 * (i % 3))) for i in range(1, 6)]
KNOWN = estimate(STOPS, prior_for(42.0), now_years=1.5).next_run
UNKNOWN = estimate([Run(0.5, at_least(26.0))], prior_for(42.0), now_years=1.5).next_run
EIGHT_DAYS = estimate([Run(0.1, exact(196.0))], prior_for(192.0), now_years=0.2).next_run
curves = st.sampled_from([KNOWN, UNKNOWN, EIGHT_DAYS])
risks = st.floats(0.0005, 0.9995)
going = st.floats(0.0, 600.0)


@given(curves, risks, going)
def test_by_the_wind_by_the_accepted_share_has_stopped(curve: Curve, p: float, seen_h: float) -> None:
    hours = hours_at_risk(curve, p, seen_going_h=seen_h)
    assert hours >= seen_h
    if hours > seen_h:
        assert still_going(curve, hours, seen_going_h=seen_h) == pytest.approx(1.0 - p, abs=3e-4)


@given(curves, risks, risks, going)
def test_more_risk_never_means_earlier(curve: Curve, one: float, other: float, seen_h: float) -> None:
    low, high = sorted((one, other))
    first, then = (hours_at_risk(curve, p, seen_going_h=seen_h) for p in (low, high))
    assert first <= then


@given(curves, risks, going, going)
def test_seen_going_later_never_means_earlier(curve: Curve, p: float, one: float, other: float) -> None:
    early, late = sorted((one, other))
    first, then = (hours_at_risk(curve, p, seen_going_h=seen) for seen in (early, late))
    assert first <= then * (1.0 + 1e-9)


@given(curves, going, st.floats(0.0, 600.0))
def test_the_chance_of_still_going_is_a_chance_and_falls(curve: Curve, seen_h: float, hours: float) -> None:
    now, later = (still_going(curve, h, seen_going_h=seen_h) for h in (hours, hours * 1.1))
    assert 0.0 <= later <= now <= 1.0


@given(curves, st.floats(0.0, 5_000.0))
def test_far_beyond_the_curve_there_is_still_a_finite_answer(curve: Curve, seen_h: float) -> None:
    points = [hours_at_risk(curve, p, seen_going_h=seen_h) for p in (0.01, 0.5)] + [
        stopped_h(curve, seen_going_h=seen_h)
    ]
    assert all(math.isfinite(point) for point in points)
    assert points == sorted(points)


def test_a_sighting_before_anything_can_have_stopped_changes_nothing() -> None:
    assert hours_at_risk(KNOWN, 0.05, seen_going_h=5.0) == pytest.approx(hours_at_risk(KNOWN, 0.05))


def test_before_it_was_last_seen_going_it_was_going() -> None:
    assert still_going(KNOWN, 30.0, seen_going_h=41.0) == 1.0


def test_stopped_lies_where_one_run_in_a_thousand_goes_on() -> None:
    assert still_going(KNOWN, stopped_h(KNOWN)) == pytest.approx(0.001, rel=1e-3)


@given(curves, st.floats(0.0, 200.0))
def test_the_risk_gives_back_the_stops_a_year_unless_bounded(curve: Curve, stops: float) -> None:
    risk = risk_for(curve, stops)
    asked = stops * hours_at_risk(curve, risk.p) / 8766.0
    assert LEAST_RISK <= risk.p <= MOST_RISK
    assert (risk.at_floor, risk.at_ceiling) == (asked < LEAST_RISK, asked > MOST_RISK)
    assert risk.at_floor or risk.at_ceiling or risk.p == pytest.approx(asked, rel=1e-6)


def test_the_usual_stakes_at_about_forty_hours() -> None:
    time_only, date, calendar = (risk_for(KNOWN, stops) for stops in (12.0, 4.0, 0.05))
    assert (time_only.p, date.p) == pytest.approx((0.050, 0.0165), abs=0.004)
    assert (calendar.p, calendar.at_floor) == (LEAST_RISK, True)
