from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.core.benchhours import BenchHours, possible_looks

BERLIN = ZoneInfo("Europe/Berlin")
MONDAY = datetime(2026, 11, 23, 15, 10, tzinfo=UTC)
"""16:10 in Berlin."""
WORKSHOP = BenchHours(frozenset(range(5)), time(8, 30), time(18))


def clocks(moments: list[datetime], zone: ZoneInfo = BERLIN) -> list[str]:
    return [f"{each.astimezone(zone):%a %H:%M}" for each in moments]


def test_they_are_the_opening_the_full_hours_and_the_closing() -> None:
    found = clocks(possible_looks(WORKSHOP, MONDAY, MONDAY + timedelta(hours=18), BERLIN))
    assert found == ["Mon 17:00", "Mon 18:00", "Tue 08:30", "Tue 09:00", "Tue 10:00"]


def test_nobody_is_there_on_other_days() -> None:
    friday = MONDAY + timedelta(days=4)
    assert clocks(possible_looks(WORKSHOP, friday, friday + timedelta(days=3), BERLIN))[2] == "Mon 08:30"


def test_hours_that_the_clocks_skip_are_no_moments() -> None:
    night = BenchHours(opens=time(1), closes=time(4))
    before = datetime(2026, 3, 28, 23, 30, tzinfo=UTC)
    found = clocks(possible_looks(night, before, before + timedelta(hours=5), BERLIN))
    assert found == ["Sun 01:00", "Sun 03:00", "Sun 04:00"]


def test_without_a_day_there_are_none() -> None:
    assert possible_looks(BenchHours(frozenset()), MONDAY, MONDAY + timedelta(days=9), BERLIN) == []


@pytest.mark.parametrize("zone", ["Europe/Berlin", "Australia/Lord_Howe", "Asia/Kolkata"])
@given(
    st.datetimes(datetime(2026, 1, 1), datetime(2027, 1, 1), timezones=st.just(UTC)),  # noqa: DTZ001 -- hypothesis asks so
    st.integers(0, 100),
)
def test_all_lie_within_the_hours_after_the_one_moment_and_up_to_the_other(
    zone: str, after: datetime, hours: int
) -> None:
    until, place = after + timedelta(hours=hours), ZoneInfo(zone)
    found = possible_looks(WORKSHOP, after, until, place)
    assert found == sorted(set(found))
    assert all(after < each <= until for each in found)
    local = [each.astimezone(place) for each in found]
    assert all(each.weekday() in WORKSHOP.days and WORKSHOP.opens <= each.time() <= WORKSHOP.closes for each in local)
