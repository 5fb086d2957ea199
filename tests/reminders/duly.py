"""A reminder as a row, for tests that need one and not how it came about."""

from datetime import datetime, timedelta

from tracker.reminders.reminder import Facts, Reminder, State, reminder_row
from tracker.store import reminders as rows
from tracker.store.store import Store
from tracker.uids import uid_of


def last_call(
    store: Store, uid: str, now: datetime, *, watch_uid: str, state: State = "due", nickname: str = "Night ferry"
) -> str:
    """A last call of a watch to be wound within three hours; returns its uid."""
    wind_by = now + timedelta(hours=3)
    reminder = Reminder(
        uid=uid,
        subject_uid=watch_uid,
        episode=uid_of("wind", uid),
        ordinal=1,
        due_at=now,
        useful_until=wind_by,
        facts=Facts(nickname, wind_by, now - timedelta(hours=30)),
        state=state,
        planned_at=now - timedelta(hours=30),
    )
    with store.change() as db:
        rows.write_reminder(db, reminder_row(reminder, now))
    return uid
