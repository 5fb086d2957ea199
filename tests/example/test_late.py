from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from tracker.example.days import Days
from tracker.example.late import noted_as

DAYS = Days(datetime(2026, 11, 25, 12, 0, tzinfo=UTC), ZoneInfo("UTC"))


def test_an_even_minute_is_said_as_at_the_round() -> None:
    at = datetime(2026, 11, 24, 7, 40, tzinfo=UTC)
    assert noted_as(at, DAYS, at - timedelta(days=1), at + timedelta(days=1)) == (at.replace(minute=30), 20.0)


def test_an_odd_minute_is_said_as_this_morning() -> None:
    at = datetime(2026, 11, 24, 7, 41, tzinfo=UTC)
    assert noted_as(at, DAYS, at - timedelta(days=1), at + timedelta(days=1)) == (at.replace(hour=9, minute=0), 180.0)


def test_a_note_that_would_change_the_order_is_exact() -> None:
    at = datetime(2026, 11, 24, 7, 41, tzinfo=UTC)
    between = (at - timedelta(minutes=5), at + timedelta(minutes=5))
    assert noted_as(at, DAYS, *between) == (at, 0.0)


def test_the_truth_lies_within_the_width() -> None:
    for minute in range(24 * 60):
        at = datetime(2026, 11, 24, tzinfo=UTC) + timedelta(minutes=minute)
        noted, within_min = noted_as(at, DAYS, at - timedelta(days=1), at + timedelta(days=1))
        assert abs(noted - at) <= timedelta(minutes=within_min)
