"""Digests through clocks that are set, zones that change their hour, and a machine that sleeps."""

from collections import Counter
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.belled import MINUTE, TODAY, Bell, give, kept, ring_through, rounds
from tests.web.rounds import HOUR, NOW
from tracker.commands.settings import ChangeSettings
from tracker.store.store import Store

DAY = timedelta(days=1)


@pytest.fixture
def bell(store: Store) -> Bell:
    give(store, NOW, ChangeSettings(zone="UTC", rounds_on_weekdays=("07:30",), rounds_at_weekends=("07:30",)))
    kept(store, "Night ferry", NOW - 24 * HOUR)
    return Bell(store)


def digests_told(bell: Bell) -> list[str]:
    return [message.key for message in bell.told if message.key.startswith("round")]


def test_a_clock_set_back_two_hours_doubles_nothing(bell: Bell) -> None:
    ring_through(bell, NOW, TODAY + 15 * MINUTE)
    before = [message.key for message in bell.told]
    ring_through(bell, TODAY - 2 * HOUR, TODAY + HOUR)
    assert [message.key for message in bell.told] == before
    assert len(digests_told(bell)) == 1


def test_a_clock_set_back_before_the_round_loses_nothing(bell: Bell) -> None:
    bell.ring(NOW)
    ring_through(bell, NOW - 2 * HOUR, TODAY + 15 * MINUTE)
    assert len(digests_told(bell)) == 1


def test_a_clock_wrongly_three_days_ahead_loses_nothing_and_doubles_nothing_once_it_is_right(bell: Bell) -> None:
    bell.ring(NOW)
    ring_through(bell, NOW + 3 * DAY, NOW + 3 * DAY + 30 * MINUTE)
    ahead = digests_told(bell)
    ring_through(bell, NOW, NOW + 4 * DAY, 30 * MINUTE)
    days = Counter(key.split("/")[2] for key in digests_told(bell)[len(ahead) :])
    assert days == {f"2026-11-{day}T07:30": 1 for day in (25, 26, 27, 28)}, "each day once, when its time had come"
    assert max(Counter(digests_told(bell)).values()) == 1, (
        "what was told days early is told again under a key of its own"
    )


def test_asleep_over_rounds_it_tells_the_last_of_them_when_it_wakes(bell: Bell) -> None:
    bell.ring(NOW)
    ring_through(bell, TODAY + 2 * DAY + 3 * HOUR, TODAY + 2 * DAY + 5 * HOUR)
    assert [key.split("/")[2] for key in digests_told(bell)] == ["2026-11-27T07:30"]


@pytest.mark.parametrize(
    ("zone", "at", "day"),
    [
        ("Europe/London", "01:30", "2026-10-25"),
        ("Europe/London", "01:30", "2027-03-28"),
        ("America/New_York", "01:30", "2026-11-01"),
        ("America/New_York", "02:30", "2027-03-14"),
        ("Australia/Lord_Howe", "01:45", "2027-04-04"),
        ("Australia/Lord_Howe", "02:15", "2026-10-04"),
    ],
)
def test_a_day_on_which_the_hour_changes_has_one_digest_as_any_other(
    store: Store, zone: str, at: str, day: str
) -> None:
    give(store, NOW, ChangeSettings(zone=zone, rounds_on_weekdays=(at,), rounds_at_weekends=(at,)))
    kept(store, "Night ferry", datetime(2026, 9, 1, tzinfo=UTC))
    bell, noon = Bell(store), datetime.fromisoformat(f"{day}T12:00").replace(tzinfo=ZoneInfo(zone)).astimezone(UTC)

    told = ring_through(bell, noon - 1.5 * DAY, noon + DAY, 30 * MINUTE)
    days = Counter(moment.astimezone(ZoneInfo(zone)).date().isoformat() for kind, moment in told if kind == "round")
    expected = datetime.fromisoformat(day).date()
    assert [days[(expected + n * DAY).isoformat()] for n in (-1, 0, 1)] == [1, 1, 1]


walks = st.lists(st.sampled_from([0.25, 1.0, 5.0, 26.0, -1.0, -2.0]), min_size=4, max_size=12)


@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(walks)
def test_whatever_the_clock_does_no_key_is_told_twice_and_the_next_round_is_told(bell: Bell, walk: list[float]) -> None:
    bell.told.clear()
    now = max([NOW, *(each.facts.at + 2 * DAY for each in rounds(bell.store))])
    for hours in walk:
        now += hours * HOUR
        bell.ring(now)
    following = next(each for each in rounds(bell.store) if each.facts.at > now and each.state in {"planned", "due"})
    bell.ring(max(following.facts.at, now) + MINUTE)
    keys = [message.key for message in bell.told]
    assert len(keys) == len({*keys})
    assert following.key in keys
