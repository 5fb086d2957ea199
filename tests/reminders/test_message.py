from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from tracker.reminders.message import message
from tracker.reminders.plan import KeptWatch, plan
from tracker.reminders.reminder import Reminder

LONDON = ZoneInfo("Europe/London")
BEFORE_THE_NIGHT = datetime(2026, 10, 24, 20, 0, tzinfo=UTC)


def last_call(wind_by: datetime, told_at: datetime) -> Reminder:
    started = told_at - timedelta(hours=30)
    return plan([KeptWatch("ferry", "Night ferry", "wind-1", started, wind_by)], [], 3, told_at)[0]


def test_it_says_by_when_to_wind_and_how_long_that_is() -> None:
    now = datetime(2026, 11, 26, 16, 0, tzinfo=UTC)
    said = message(last_call(now + timedelta(hours=3), now), now, LONDON)
    assert (said.title, said.text) == ("Wind Night ferry", "Night ferry: wind by today 19:00, in 3 h.")
    assert said.key == "last-call/ferry/wind-1/1"


def test_told_too_late_it_says_what_is_true_then() -> None:
    now = datetime(2026, 11, 26, 2, 0, tzinfo=UTC)
    reminder = last_call(now + timedelta(hours=2), now)
    said = message(reminder, now + timedelta(hours=5), LONDON)
    assert (said.title, said.text) == ("Look at Night ferry", "Night ferry may have stopped today at about 04:00.")


def test_in_the_autumn_night_the_hour_that_comes_twice_is_told_by_the_clock_then_and_its_true_distance() -> None:
    summer, winter = (datetime(2026, 10, 25, hour, 30, tzinfo=UTC) for hour in (0, 1))
    texts = [message(last_call(each, BEFORE_THE_NIGHT), BEFORE_THE_NIGHT, LONDON).text for each in (summer, winter)]
    assert texts == [
        "Night ferry: wind by tomorrow 01:30, in 4 h.",
        "Night ferry: wind by tomorrow 01:30, in 6 h.",
    ]


def test_after_the_autumn_night_the_clock_reads_an_hour_less() -> None:
    wind_by = datetime(2026, 10, 25, 7, 0, tzinfo=UTC)
    assert "tomorrow 07:00, in 11 h" in message(last_call(wind_by, BEFORE_THE_NIGHT), BEFORE_THE_NIGHT, LONDON).text


def test_the_sentence_follows_a_wind_by_that_moved_since() -> None:
    now = datetime(2026, 11, 26, 16, 0, tzinfo=UTC)
    moved = replace(last_call(now + timedelta(hours=3), now), useful_until=now + timedelta(hours=3, minutes=40))
    assert "19:40" in message(moved, now, LONDON).text
