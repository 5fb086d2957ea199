from dataclasses import replace
from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.collection import owner
from tracker.commands.door import submit
from tracker.commands.settings import ChangeSettings
from tracker.reminders.outbox import replan
from tracker.reminders.plan import KeptWatch
from tracker.reminders.quiet import Quiet, told_at
from tracker.store.store import Store

LONDON = ZoneInfo("Europe/London")
NIGHT = Quiet(time(22), time(7))
NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)
HOUR = timedelta(hours=1)


def told(due: datetime, *, began: datetime = NOON - 20 * HOUR, now: datetime = NOON, urgent: bool = False) -> datetime:
    return told_at(due, began, now, NIGHT, LONDON, urgent=urgent)


def test_by_day_it_is_said_at_its_time() -> None:
    assert told(NOON + 3 * HOUR) == NOON + 3 * HOUR


@pytest.mark.parametrize("hours", [10, 13, 18.9])
def test_what_falls_into_the_night_is_said_five_minutes_before_it(hours: float) -> None:
    assert told(NOON + hours * HOUR) == NOON.replace(hour=21, minute=55)


def test_the_end_of_the_night_is_day() -> None:
    assert told(NOON + 19 * HOUR) == NOON + 19 * HOUR


def test_if_the_night_has_begun_it_waits_for_morning() -> None:
    now = NOON.replace(hour=23)
    assert told(now + HOUR, now=now) == NOON + 19 * HOUR


def test_in_the_minutes_before_the_night_it_is_still_said_before_it() -> None:
    now = NOON.replace(hour=21, minute=57)
    assert told(now + HOUR, now=now) == NOON.replace(hour=21, minute=55)


def test_but_a_calendar_is_told_of_at_its_time() -> None:
    now = NOON.replace(hour=23)
    assert told(now + HOUR, now=now, urgent=True) == now + HOUR


def test_nothing_is_said_before_the_run_began() -> None:
    began = NOON.replace(hour=21, minute=58)
    assert told(NOON.replace(hour=23), began=began, now=began) == NOON + 19 * HOUR


def test_equal_ends_are_no_quiet_hours() -> None:
    none = Quiet(time(0), time(0))
    assert told_at(NOON, NOON, NOON, none, LONDON, urgent=False) == NOON


@given(st.integers(0, 60 * 24 * 400), st.booleans())
def test_only_the_urgent_breaks_the_night(minutes: int, urgent: bool) -> None:  # noqa: FBT001 -- hypothesis hands it over
    due = NOON + timedelta(minutes=minutes)
    at = told(due, urgent=urgent)
    local = at.astimezone(LONDON).time()
    assert time(7) <= local < time(22) or (urgent and at == due)


def test_a_last_call_that_would_fall_into_the_night_is_planned_before_it(
    store: Store, ferry: KeptWatch, now: datetime
) -> None:
    # Its wind-by comes at 03:25, so that it would be told at 00:25.
    assert ferry.wind_by == now + 20 * HOUR
    submit(store, [ChangeSettings(zone="UTC", quiet_from="22:00", quiet_to="07:00")], owner(store, "page", now))
    with store.change() as db:
        replan(db, [ferry], 3, now)
    assert _due(store) == ["2026-11-25T21:55:00Z"]
    with store.change() as db:
        replan(db, [replace(ferry, urgent=True)], 3, now.replace(hour=23))
    assert _due(store) == ["2026-11-26T00:25:00Z"], "a calendar is told of at its time, where the evening has passed"


def _due(store: Store) -> list[str]:
    return [due for (due,) in store.reading().execute("SELECT due_utc FROM reminder WHERE state = 'planned'")]
