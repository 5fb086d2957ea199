"""Nights and days of the owner's clock, DST nights included."""

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import pytest

from tests.web.rounds import BERLIN, NOW
from tracker.web.axis import days, nights
from tracker.web.taper import Axis

AXIS = Axis()


def hours(percent: float) -> float:
    return percent * (AXIS.before_h + AXIS.after_h) / 100


def test_every_night_lasts_from_ten_to_six() -> None:
    found = nights(AXIS, NOW, BERLIN)
    assert [night.day for night in found] == [date(2026, 11, day) for day in (24, 25, 26, 27)]
    assert [hours(night.width) for night in found] == pytest.approx([8, 8, 8, 8], abs=0.02)


def test_the_first_night_begins_at_ten_on_the_owner_s_clock() -> None:
    first = nights(AXIS, NOW, BERLIN)[0]
    assert hours(first.left) - AXIS.before_h == pytest.approx(21 - 7 - 25 / 60 - 24, abs=0.01)


@pytest.mark.parametrize(
    ("day", "zone", "lasts_h"),
    [
        (datetime(2026, 3, 28, 12, tzinfo=UTC), "Europe/Berlin", 7.0),
        (datetime(2026, 10, 24, 12, tzinfo=UTC), "Europe/Berlin", 9.0),
        (datetime(2026, 4, 4, 3, tzinfo=UTC), "Australia/Lord_Howe", 8.5),
    ],
)
def test_a_night_of_changing_clocks_is_as_long_as_it_is(day: datetime, zone: str, lasts_h: float) -> None:
    night = next(each for each in nights(AXIS, day, ZoneInfo(zone)) if each.day == day.date())
    assert hours(night.width) == pytest.approx(lasts_h, abs=0.02)


def test_a_day_of_which_little_is_seen_goes_unnamed() -> None:
    evening = NOW.replace(hour=16)
    assert [day.day.day for day in days(AXIS, evening, BERLIN)] == [25, 26, 27, 28]
