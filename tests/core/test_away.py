from datetime import UTC, date, datetime, timedelta
from math import erfc, log, sqrt
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.core.away import date_steps, days_stopped, outlook, steps_of_going, steps_of_stopped
from tracker.core.curve import Curve, curve_from
from tracker.core.windby import hours_at_risk

LONDON = ZoneInfo("Europe/London")
WOUND = datetime(2026, 11, 6, 7, tzinfo=UTC)


def runs_of(hours: float, scatter: float = 0.03) -> Curve:
    grid = np.linspace(log(hours) - 8 * scatter, log(hours) + 8 * scatter, 2_000)
    return curve_from(grid, np.array([0.5 * erfc((x - log(hours)) / scatter / sqrt(2.0)) for x in grid]))


def test_a_watch_wound_on_leaving_stops_within_its_band_and_is_safe_until_its_wind_by() -> None:
    curve = runs_of(40.0)
    found = outlook(curve, 0.01, WOUND, WOUND + timedelta(days=4))
    assert found.safe_until == WOUND + timedelta(hours=hours_at_risk(curve, 0.01))
    assert found.safe_until < found.stops_from < WOUND + timedelta(hours=40) < found.stops_to
    assert found.going_at_return < 1e-6
    assert found.settled() is False


def test_who_comes_back_within_the_reserve_finds_it_going() -> None:
    assert outlook(runs_of(40.0), 0.05, WOUND, WOUND + timedelta(hours=20)).settled() is True
    assert outlook(runs_of(40.0), 0.05, WOUND, WOUND + timedelta(hours=40)).settled() is None


def test_a_sighting_before_leaving_counts() -> None:
    late = outlook(runs_of(40.0), 0.05, WOUND, WOUND + timedelta(hours=41), seen_going_h=39.9)
    assert late.going_at_return > outlook(runs_of(40.0), 0.05, WOUND, WOUND + timedelta(hours=41)).going_at_return
    assert late.safe_until > WOUND + timedelta(hours=39.9)


def test_a_month_of_reserve_beyond_all_reckoning_is_a_date_all_the_same() -> None:
    assert outlook(runs_of(1e9), 0.05, WOUND, WOUND + timedelta(days=4)).settled() is True


def test_the_calendar_is_behind_by_the_days_since_it_may_have_stopped() -> None:
    back = WOUND + timedelta(days=8)
    found = outlook(runs_of(40.0), 0.05, WOUND, back)
    assert days_stopped(found, back, LONDON) == (6, 7), "it stops about 23:00: that evening or the next day"
    assert steps_of_stopped(found, back, LONDON) == [6, 7]


def test_one_that_may_not_have_stopped_yet_may_want_no_step() -> None:
    back = WOUND + timedelta(hours=40)
    assert days_stopped(outlook(runs_of(40.0), 0.05, WOUND, back), back, LONDON)[0] == 0


@pytest.mark.parametrize(
    ("shows", "back", "steps"),
    [
        (date(2026, 11, 6), date(2026, 11, 13), 7),
        (date(2027, 2, 27), date(2027, 3, 2), 6),
        (date(2026, 10, 31), date(2026, 11, 1), 1),
        (date(2026, 11, 30), date(2026, 12, 1), 2),
        (date(2026, 11, 6), date(2026, 11, 6), 0),
    ],
)
def test_a_date_window_has_thirty_one_days_in_every_month(shows: date, back: date, steps: int) -> None:
    assert date_steps(shows, back) == steps


def test_a_watch_that_went_on_wants_a_step_for_each_day_its_month_was_short() -> None:
    assert steps_of_going(datetime(2027, 2, 20, tzinfo=UTC), datetime(2027, 3, 5, tzinfo=UTC), LONDON) == 3
    assert steps_of_going(datetime(2026, 12, 20, tzinfo=UTC), datetime(2027, 1, 5, tzinfo=UTC), LONDON) == 0
    assert steps_of_going(datetime(2026, 11, 2, tzinfo=UTC), datetime(2026, 11, 20, tzinfo=UTC), LONDON) == 0


@given(st.dates(date(2020, 1, 1), date(2035, 1, 1)), st.integers(0, 400))
def test_a_window_that_ran_on_and_was_stepped_shows_the_day(start: date, days: int) -> None:
    def shown(after: int) -> int:
        return (start.day - 1 + after) % 31 + 1

    back = start + timedelta(days=days)
    noon = timedelta(hours=12)
    leave_at, back_at = (datetime.combine(day, datetime.min.time(), UTC) + noon for day in (start, back))
    assert (shown(days) - 1 + steps_of_going(leave_at, back_at, LONDON)) % 31 + 1 == back.day
