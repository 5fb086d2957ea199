from datetime import datetime

from tracker.reminders.plan import KeptWatch, plan
from tracker.reminders.reminder import reminder_from_row
from tracker.store.reminders import reminders_of
from tracker.store.store import Store


def test_a_reminder_comes_back_from_its_row_as_it_was(planned: Store, ferry: KeptWatch, now: datetime) -> None:
    rows = reminders_of(planned.reading(), "last call", "ferry", "wind-1")
    assert [reminder_from_row(row) for row in rows] == plan([ferry], [], 3, now)


def test_its_row_names_the_watch_by_nickname_alone(planned: Store) -> None:
    (row,) = reminders_of(planned.reading(), "last call", "ferry", "wind-1")
    assert row["facts"] == (
        '{"nickname": "Night ferry", "wind_by_utc": "2026-11-26T03:25:00Z", "started_utc": "2026-11-24T21:25:00Z"}'
    )
