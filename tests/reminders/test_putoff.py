"""Until when a reminder can be put off."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from tracker.reminders.putoff import choices, end

HOUR = timedelta(hours=1)
LISBON = ZoneInfo("Europe/Lisbon")
NOW = datetime(2026, 11, 25, 10, 20, 33, tzinfo=UTC)


def _said(kind: str, useful_until: datetime, now: datetime = NOW, zone: ZoneInfo = LISBON) -> list[str]:
    return [f"{each.astimezone(zone):%d %H:%M}" for each in choices(kind, useful_until, now, zone)]


def test_soon_this_evening_or_tomorrow_morning() -> None:
    assert _said("last call", NOW + 30 * HOUR) == ["25 10:50", "25 11:20", "25 13:20", "25 19:00", "26 08:00"]


def test_in_the_night_the_morning_comes_before_the_evening() -> None:
    night = datetime(2026, 11, 25, 2, 0, tzinfo=UTC)
    assert _said("cue", night + 99 * HOUR, night) == ["25 02:30", "25 03:00", "25 05:00", "25 08:00", "25 19:00"]


def test_two_that_are_nearly_the_same_are_one() -> None:
    afternoon = datetime(2026, 11, 25, 15, 50, tzinfo=UTC)
    assert _said("cue", NOW + 99 * HOUR, afternoon) == ["25 16:20", "25 16:50", "25 18:50", "26 08:00", "26 19:00"]


def test_a_last_call_is_not_put_off_beyond_its_wind_by() -> None:
    assert _said("last call", NOW + 2 * HOUR) == ["25 10:50", "25 11:20"]
    assert _said("last call", NOW + HOUR / 3) == []


def test_once_late_it_is_put_off_as_long_as_it_is_worth_saying() -> None:
    assert end("last call", NOW - HOUR, NOW) == NOW + 23 * HOUR
    assert _said("last call", NOW - 20 * HOUR) == ["25 10:50", "25 11:20", "25 13:20"]


def test_a_digest_is_not_put_off_beyond_the_next_round() -> None:
    assert _said("round", NOW + 1.5 * HOUR) == ["25 10:50", "25 11:20"]
    assert _said("round", NOW) == []


@pytest.mark.parametrize(
    ("now", "said"),
    [
        # The clocks of Lisbon go back on 25 October and forward on 28 March 2027, at 02:00 by the earlier time.
        (datetime(2026, 10, 24, 20, 0, tzinfo=UTC), "25 08:00"),
        (datetime(2027, 3, 27, 20, 0, tzinfo=UTC), "28 08:00"),
    ],
)
def test_the_morning_is_one_of_the_clock_on_the_wall_when_the_clocks_change(now: datetime, said: str) -> None:
    assert said in _said("cue", now + 99 * HOUR, now)
