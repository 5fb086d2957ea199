from datetime import UTC, datetime, timedelta

import pytest

from tracker.example.dial import Dial, as_read

HANDS = datetime(2026, 11, 20, 8, 0, tzinfo=UTC).replace(tzinfo=None)  # hands know no zone
SET = datetime(2026, 11, 20, 7, 0, tzinfo=UTC)
LATER = SET + timedelta(days=30)
DIAL = Dial(since=SET, shows=HANDS, rate_s_per_day=60.0, dated_on=HANDS)


def test_hands_go_on_at_the_rate_of_the_watch_until_it_stops() -> None:
    assert DIAL.at(SET + timedelta(days=2), LATER) == HANDS + timedelta(days=2, minutes=2)
    assert DIAL.at(LATER, SET + timedelta(days=1)) == HANDS + timedelta(days=1, minutes=1)


def test_a_watch_that_stopped_before_they_were_noted_shows_what_it_showed() -> None:
    assert DIAL.at(SET + timedelta(days=2), SET - timedelta(days=1)) == DIAL.shows


def test_the_date_is_told_until_the_month_ends() -> None:
    assert DIAL.day(SET + timedelta(days=3), LATER) == 23
    assert DIAL.day(SET + timedelta(days=15), LATER) is None


@pytest.mark.parametrize(("hour", "minute", "read"), [(16, 37, "4:37"), (0, 5, "12:05"), (12, 0, "12:00")])
def test_hands_are_read_on_a_dial_of_twelve(hour: int, minute: int, read: str) -> None:
    assert as_read(HANDS.replace(hour=hour, minute=minute), 0) == read


def test_a_reading_may_be_a_minute_off() -> None:
    assert as_read(HANDS.replace(hour=12), -1) == "11:59"
