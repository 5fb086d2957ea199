from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.core.roundtimes import RoundTime, moments

LONDON = ZoneInfo("Europe/London")
WEEKDAYS, WEEKEND, ALL = frozenset(range(5)), frozenset({5, 6}), frozenset(range(7))
MONDAY = datetime(2026, 11, 2, tzinfo=UTC)


def test_weekdays_and_weekends_have_their_own_times() -> None:
    rules = [RoundTime(WEEKDAYS, time(7, 30)), RoundTime(WEEKEND, time(9))]
    found = moments(rules, MONDAY + timedelta(days=4), MONDAY + timedelta(days=7), LONDON)
    assert [moment.strftime("%a %H:%M") for moment in found] == ["Fri 07:30", "Sat 09:00", "Sun 09:00"]


def test_both_ends_count_and_doubles_do_not() -> None:
    rules = [RoundTime(ALL, time(7)), RoundTime(WEEKDAYS, time(7))]
    first = MONDAY + timedelta(hours=7)
    assert moments(rules, first, first + timedelta(days=1), LONDON) == [first, first + timedelta(days=1)]


def test_no_round_on_a_day_off() -> None:
    found = moments([RoundTime(ALL, time(7))], MONDAY, MONDAY + timedelta(days=2), LONDON, {date(2026, 11, 2)})
    assert [moment.date() for moment in found] == [date(2026, 11, 3)]


@pytest.mark.parametrize(
    ("zone", "day", "at", "utc"),
    [
        # IANA Time Zone Database 2026f: the clocks skip the first three and show the last three twice.
        ("Europe/London", date(2026, 3, 29), time(1, 30), "2026-03-29T01:30:00+00:00"),
        ("America/New_York", date(2026, 3, 8), time(2, 30), "2026-03-08T07:30:00+00:00"),
        ("Australia/Lord_Howe", date(2026, 10, 4), time(2, 15), "2026-10-03T15:45:00+00:00"),
        ("Europe/London", date(2026, 10, 25), time(1, 30), "2026-10-25T00:30:00+00:00"),
        ("America/New_York", date(2026, 11, 1), time(1, 30), "2026-11-01T05:30:00+00:00"),
        ("Australia/Lord_Howe", date(2026, 4, 5), time(1, 45), "2026-04-04T14:45:00+00:00"),
    ],
)
def test_where_clocks_change_there_is_one_round_that_day(zone: str, day: date, at: time, utc: str) -> None:
    noon = datetime.combine(day, time(12), ZoneInfo(zone))
    found = moments([RoundTime(ALL, at)], noon - timedelta(hours=12, minutes=30), noon, ZoneInfo(zone))
    assert [moment.isoformat() for moment in found] == [utc]


@given(
    st.sampled_from(["Europe/London", "America/New_York", "Australia/Lord_Howe", "Pacific/Kiritimati"]),
    st.times().map(lambda at: at.replace(second=0, microsecond=0)),
    st.integers(0, 700),
)
def test_every_day_has_its_round_whatever_the_clocks_do(zone: str, at: time, days: int) -> None:
    first = MONDAY + timedelta(days=days)
    found = moments([RoundTime(ALL, at)], first, first + timedelta(days=20), ZoneInfo(zone))
    gaps = [after - before for before, after in pairwise(found)]
    # Where the clocks change, a round near the edge of what is asked about may fall on either side of it.
    assert len(found) in {19, 20, 21}
    assert all(timedelta(hours=22, minutes=59) < gap < timedelta(hours=25, minutes=1) for gap in gaps)
