from datetime import UTC, date, datetime

import pytest

from tracker.asked import stops_a_year, threshold_of, today_of
from tracker.commands.settings import Settings
from tracker.core.watch import Stake


@pytest.mark.parametrize(
    ("zone", "day"),
    [("UTC", date(2026, 7, 1)), ("Europe/Berlin", date(2026, 7, 2)), ("America/New_York", date(2026, 7, 1))],
)
def test_the_day_is_that_of_the_owners_zone(zone: str, day: date) -> None:
    assert today_of(datetime(2026, 7, 1, 23, 30, tzinfo=UTC), Settings(zone=zone)) == day


def test_the_fall_to_be_told_of_is_a_share() -> None:
    assert threshold_of(Settings(fall_percent=15)) == pytest.approx(0.15)


@pytest.mark.parametrize(("stake", "stops"), [("time only", 7), ("date", 3), ("calendar", 1)])
def test_each_stake_has_its_own_stops_a_year(stake: Stake, stops: float) -> None:
    settings = Settings(stops_a_year_time_only=7, stops_a_year_date=3, stops_a_year_calendar=1)
    assert stops_a_year(settings, stake) == stops
