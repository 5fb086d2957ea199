"""What a bench still has to read."""

from datetime import UTC, datetime, timedelta
from typing import Any

from tracker.core.readingsdue import readings_due
from tracker.core.timing import Reading

NOW = datetime(2026, 11, 25, 9, tzinfo=UTC)
DAY = timedelta(days=1)


def read(days_ago: float, minutes: float | None = 30.0, **told: Any) -> Reading:
    fields = {"occasion": "after service", "position": "CH", **told}
    return Reading(uid=f"{days_ago}", at=NOW - days_ago * DAY, since_wind_min=minutes, rate_s_per_day=3.0, **fields)


def test_after_a_service_both_states_of_wind_are_due() -> None:
    assert readings_due([], NOW - 3 * DAY, NOW) == ("after service, at full wind", "after service, after 24 h")
    assert readings_due([read(2)], NOW - 3 * DAY, NOW) == ("after service, after 24 h",)
    assert readings_due([read(2), read(1, 1440.0)], NOW - 3 * DAY, NOW) == ()


def test_readings_from_before_it_or_of_another_occasion_do_not_count() -> None:
    held = [read(4), read(2, occasion="in between"), read(1, 1440.0, programme_day=3)]
    assert len(readings_due(held, NOW - 3 * DAY, NOW)) == 2


def test_a_service_long_ago_and_a_watch_without_one_owe_nothing() -> None:
    assert readings_due([], NOW - 61 * DAY, NOW) == ()
    assert readings_due([], None, NOW) == ()


def test_a_watch_that_came_in_is_to_be_read_as_it_came() -> None:
    assert readings_due([], None, NOW, came_in_at=NOW - 2 * DAY) == ("before service",)
    assert readings_due([read(1, occasion="before service")], None, NOW, came_in_at=NOW - 2 * DAY) == ()
    assert readings_due([read(9, occasion="after service")], NOW - 10 * DAY, NOW, came_in_at=NOW - 2 * DAY) == (
        "before service",
    )
