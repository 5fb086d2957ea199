from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from tracker.example.days import DAYS, Days, dice

LISBON, SYDNEY = ZoneInfo("Europe/Lisbon"), ZoneInfo("Australia/Sydney")
NOW = datetime(2026, 11, 25, 7, 25, tzinfo=UTC)


def test_the_days_are_three_years_that_end_today() -> None:
    dates = list(Days(NOW, LISBON))
    assert dates[-1] == date(2026, 11, 25)
    assert dates[0] == dates[-1] - timedelta(days=DAYS)
    assert len(dates) == DAYS + 1


def test_today_is_the_day_where_the_keeper_lives() -> None:
    late = datetime(2026, 11, 25, 20, 0, tzinfo=UTC)
    assert Days(late, SYDNEY).today == date(2026, 11, 26)
    assert Days(late, LISBON).today == date(2026, 11, 25)


@pytest.mark.parametrize(("day", "hour_utc"), [(date(2026, 1, 10), 8), (date(2026, 7, 10), 7)])
def test_eight_in_the_morning_is_eight_on_the_wall(day: date, hour_utc: int) -> None:
    assert Days(NOW, LISBON).moment(day, 8 * 60) == datetime(day.year, day.month, day.day, hour_utc, tzinfo=UTC)


def test_any_nine_hours_hold_a_moment_by_day() -> None:
    for hour in range(24):
        days = Days(datetime(2026, 3, 29, hour, 25, tzinfo=UTC), ZoneInfo("Europe/London"))
        moment = days.by_day(0.4, 9.5, dice("test"))
        assert timedelta(hours=0.4) <= days.now - moment <= timedelta(hours=9.5)
        assert 6 <= days.wall(moment).hour <= 22


def test_a_stretch_with_nobody_about_gives_its_middle() -> None:
    days = Days(datetime(2026, 11, 25, 5, 0, tzinfo=UTC), LISBON)
    assert days.by_day(1.0, 3.0, dice("test")) == datetime(2026, 11, 25, 3, 0, tzinfo=UTC)


def test_nobody_was_away_of_late_but_some_weekends_before() -> None:
    days = Days(NOW, LISBON)
    away = days.absences()
    assert max(away) < days.ago(12)
    assert 60 <= len(away) <= 200
