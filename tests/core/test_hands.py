from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.core.hands import TOLERANCE, Setting, agree, elapsed, moments, ran_on, setting, shows_time_of
from tracker.core.timeline import Shown

NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)
MINUTE = timedelta(minutes=1)
BERLIN = Setting(set_at=NOON, offset=timedelta(hours=1))


def h(hours: float) -> datetime:
    """So many hours after the hands were set, at one in the afternoon of their own time."""
    return NOON + timedelta(hours=hours)


@pytest.mark.parametrize(("dial_hours", "count"), [(12, 4), (24, 2)])
def test_hands_name_one_moment_a_turn_of_the_dial(dial_hours: int, count: int) -> None:
    spans = [*moments(BERLIN, [Shown(minutes=2 * 60)], dial_hours, h(2), h(50))]
    assert len(spans) == count
    assert {round((low + (high - low) / 2 - h(1)) / timedelta(hours=1)) % dial_hours for low, high in spans} <= {0, 12}


def test_a_24_hour_dial_tells_afternoon_from_night() -> None:
    (span,) = moments(BERLIN, [Shown(minutes=14 * 60)], 24, h(0), h(24))
    assert span[0] < h(1) < span[1]
    assert [*moments(BERLIN, [Shown(minutes=14 * 60)], 24, h(2), h(24))] == []


def test_the_tolerance_is_ten_minutes_and_one_more_each_day() -> None:
    (first, *_, last) = moments(BERLIN, [Shown(minutes=60)], 12, h(0), h(240) + 30 * MINUTE)
    assert first == (h(0), h(0) + 10 * MINUTE)
    assert last == (h(240) - 20 * MINUTE, h(240) + 20 * MINUTE)


def test_moments_are_cut_to_the_bracket() -> None:
    assert [*moments(BERLIN, [Shown(minutes=60)], 12, h(12), h(12) + MINUTE)] == [(h(12), h(12) + MINUTE)]


def test_hands_set_a_year_ago_leave_the_whole_bracket() -> None:
    assert [*moments(BERLIN, [Shown(minutes=60)], 12, h(24 * 365), h(24 * 367))] == [(h(24 * 365), h(24 * 367))]


def test_a_second_reading_that_agrees_narrows() -> None:
    (one,) = moments(BERLIN, [Shown(minutes=60)], 12, h(6), h(18))
    (both,) = moments(BERLIN, [Shown(minutes=60), Shown(minutes=57)], 12, h(6), h(18))
    assert both == (one[0], one[1] - 3 * MINUTE)


@pytest.mark.parametrize(("later", "agrees"), [(10, True), (11, False), (710, True)])
def test_readings_agree_across_twelve(later: int, *, agrees: bool) -> None:
    assert agree(Shown(minutes=710), Shown(minutes=later), 12) is agrees


@pytest.mark.parametrize(
    ("at", "zone", "hours"),
    [
        (datetime(2026, 3, 29, 0, 59, tzinfo=UTC), "Europe/Berlin", 1),
        (datetime(2026, 3, 29, 1, 0, tzinfo=UTC), "Europe/Berlin", 2),
        (datetime(2026, 4, 4, 15, 0, tzinfo=UTC), "Australia/Lord_Howe", 10.5),
        (datetime(2026, 7, 1, 0, 0, tzinfo=UTC), "America/New_York", -4),
    ],
)
def test_hands_are_set_to_the_wall_time_of_that_moment(at: datetime, zone: str, hours: float) -> None:
    assert setting(at, zone, 0) == Setting(set_at=at, offset=timedelta(hours=hours))


def test_a_setting_that_may_have_come_before_or_after_the_clocks_changed_is_none() -> None:
    assert setting(datetime(2026, 3, 29, 1, 5, tzinfo=UTC), "Europe/Berlin", 10) is None


def test_a_loosely_timed_setting_counts_from_its_earliest_moment() -> None:
    assert setting(NOON, "Europe/Berlin", 20) == Setting(set_at=NOON - 20 * MINUTE, offset=timedelta(hours=1))


@given(st.integers(0, 4000), st.integers(-10, 10), st.sampled_from([12, 24]))
def test_the_true_moment_is_always_among_them(stopped_min: int, off_min: int, dial_hours: int) -> None:
    stopped = NOON + stopped_min * MINUTE
    shown = (13 * 60 + stopped_min + off_min) % (dial_hours * 60)
    spans = moments(BERLIN, [Shown(minutes=shown)], dial_hours, NOON, h(80))
    assert any(low <= stopped <= high for low, high in spans)
    assert all(early[1] < late[0] for early, late in pairwise(spans))


def test_readings_of_different_dates_are_not_of_the_same_hands() -> None:
    assert not agree(Shown(minutes=60, date=3), Shown(minutes=60, date=4), 12)
    assert agree(Shown(minutes=60, date=3), Shown(minutes=60), 12)


def test_a_date_set_with_the_hands_removes_the_wrong_days() -> None:
    dated = setting(NOON, "Europe/Berlin", 0, date_set=True)
    assert dated is not None
    (_, span) = moments(dated, [Shown(minutes=13 * 60 % 720 + 4 * 60, date=3)], 12, h(7), h(47))
    assert span[0] < h(28) < span[1]


def test_a_date_that_was_not_set_says_nothing() -> None:
    dated, plain = (moments(BERLIN, [Shown(minutes=60, date=date)], 12, h(1), h(30)) for date in (30, None))
    assert [*dated] == [*plain]


def test_hands_that_ran_on_count_from_where_they_stood_and_both_readings_may_be_off() -> None:
    hands = ran_on(NOON, 30, [Shown(minutes=277)], 12)
    assert hands == Setting(
        set_at=NOON,
        offset=(277 - 720) * MINUTE % timedelta(hours=12),
        tolerance=2 * TOLERANCE,
        loose=30 * MINUTE,
    )


def test_hands_that_ran_on_may_show_the_time_as_far_as_their_start_is_known() -> None:
    (sure, loose) = (ran_on(NOON, within_min, [Shown(minutes=0)], 12) for within_min in (0, 30))
    assert sure is not None
    assert loose is not None
    later = NOON + timedelta(minutes=40)
    wrong = [replace(hands, offset=40 * MINUTE) for hands in (sure, loose)]
    assert [shows_time_of(hands, later, ZoneInfo("UTC"), 12) for hands in wrong] == [False, True]


def test_hands_that_ran_on_tell_how_long_they_ran_however_loosely_they_started() -> None:
    hands = ran_on(NOON, 180, [Shown(minutes=277)], 12)
    assert hands is not None
    (ran,) = elapsed(hands, [Shown(minutes=277 + 120)], 12, timedelta(0), timedelta(hours=13))
    slack = 20 * MINUTE + timedelta(seconds=5)
    assert ran == (timedelta(hours=2) - slack, timedelta(hours=2) + slack)


def test_hands_read_twice_before_they_ran_on_are_known_the_better() -> None:
    hands = ran_on(NOON, 0, [Shown(minutes=277), Shown(minutes=287)], 12)
    assert hands is not None
    assert hands.tolerance == 15 * MINUTE


def test_where_hands_were_moved_they_ran_on_from_the_newest_reading() -> None:
    assert ran_on(NOON, 0, [Shown(minutes=20), Shown(minutes=277)], 12) == ran_on(NOON, 0, [Shown(minutes=277)], 12)


def test_hands_nobody_read_ran_on_from_nowhere() -> None:
    assert ran_on(NOON, 0, [], 12) is None
