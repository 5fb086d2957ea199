from datetime import UTC, datetime, timedelta
from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from tracker.commands.settings import Settings
from tracker.core.roundtimes import Away
from tracker.openrounds import open_rounds

WEDNESDAY = datetime(2026, 11, 25, tzinfo=UTC)
HOUR = timedelta(hours=1)
DAY = timedelta(days=1)
DAILY = Settings(zone="UTC", rounds_on_weekdays=("07:30",), rounds_at_weekends=("09:00",))
TRIP = Away(WEDNESDAY + DAY + 10 * HOUR, WEDNESDAY + 4 * DAY + 18 * HOUR)


def told(rules: Settings, *away: Away, days: int = 7) -> list[str]:
    return [f"{at:%a %H:%M}" for at in open_rounds(rules, WEDNESDAY, WEDNESDAY + days * DAY, away)]


def test_without_an_absence_they_are_the_owners_own() -> None:
    assert told(DAILY, days=3) == ["Wed 07:30", "Thu 07:30", "Fri 07:30"]


def test_while_away_none_is_open_and_the_return_is_one() -> None:
    assert told(DAILY, TRIP) == ["Wed 07:30", "Thu 07:30", "Sun 18:00", "Mon 07:30", "Tue 07:30"]


def test_without_a_round_in_the_day_before_leaving_one_is_added() -> None:
    weekend = Settings(zone="UTC", rounds_on_weekdays=(), rounds_at_weekends=("09:00",))
    assert told(weekend, TRIP) == ["Thu 09:30", "Sun 18:00"]


def test_no_round_is_added_between_two_absences_that_meet() -> None:
    weekend = Settings(zone="UTC", rounds_on_weekdays=(), rounds_at_weekends=("09:00",))
    second = Away(TRIP.back, TRIP.back + 2 * DAY)
    assert told(weekend, TRIP, second) == ["Thu 09:30", "Tue 18:00"]


def test_it_does_not_matter_from_when_they_are_asked_for() -> None:
    since = TRIP.leave - 25 * timedelta(minutes=1)
    assert open_rounds(DAILY, since, TRIP.back, [TRIP]) == [TRIP.back]


zones = st.sampled_from(["Europe/London", "America/New_York", "Australia/Lord_Howe", "UTC"])
absences = st.lists(
    st.tuples(st.integers(0, 24 * 20), st.integers(1, 24 * 6)).map(
        lambda pair: Away(WEDNESDAY + pair[0] * HOUR, WEDNESDAY + (pair[0] + pair[1]) * HOUR)
    ),
    max_size=3,
)


@settings(max_examples=200, deadline=None)
@given(zones, absences)
def test_none_is_open_while_away_and_all_others_are(zone: str, away: list[Away]) -> None:
    away = sorted(away, key=lambda each: each.leave)
    away = [each for n, each in enumerate(away) if all(each.leave >= before.back for before in away[:n])]
    rules = Settings(zone=zone)
    end = WEDNESDAY + 30 * DAY
    found, own = open_rounds(rules, WEDNESDAY, end, away), open_rounds(rules, WEDNESDAY, end)
    assert all(before < after for before, after in pairwise(found))
    assert not any(each.holds(at) for each in away for at in found)
    assert {at for at in own if not any(each.holds(at) for each in away)} <= {*found}
    meeting = {each.leave for each in away}
    assert {each.back for each in away} - meeting <= {*found}
