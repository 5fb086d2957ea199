"""What the owner was told and why, what is still to come, and what was withdrawn."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from sqlite_utils import Database

from tracker.reminders.message import Message, of_row
from tracker.reminders.outbox import ADDRESS
from tracker.reminders.reminder import State
from tracker.store import reminders as rows
from tracker.store.moments import from_text, from_text_or_none

NEWEST = 60
NEXT = 20


@dataclass(frozen=True, slots=True)
class Sending:
    """How a message fared at the owner's address: its state, when it was sent, and what went wrong last."""

    state: str
    sent_at: datetime | None
    last_error: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """A reminder as it was, or will be, told. `sending` is None where no address was asked for it."""

    key: str
    kind: str
    watch_uid: str
    message: Message
    state: State
    closed_by: str | None
    due_at: datetime
    changed_at: datetime
    sending: Sending | None


def newest(db: Database, zone: ZoneInfo, limit: int = NEWEST) -> list[Told]:
    """The reminders that changed last and are no longer to come, newest first."""
    return _told(db, [row for row in rows.recent_reminders(db, limit) if row["state"] != "planned"], zone)


def to_come(db: Database, zone: ZoneInfo, limit: int = NEXT) -> list[Told]:
    """The reminders still to be told, the next first."""
    return _told(db, rows.planned_reminders(db, limit), zone)


def _told(db: Database, found: Sequence[dict[str, Any]], zone: ZoneInfo) -> list[Told]:
    sent = rows.deliveries_of(db, [row["uid"] for row in found], ADDRESS)
    return [_one(row, sent.get(row["uid"]), zone) for row in found]


def _one(row: dict[str, Any], sent: dict[str, Any] | None, zone: ZoneInfo) -> Told:
    said = of_row(row, None, zone)
    return Told(
        key=said.key,
        kind=row["kind"],
        watch_uid=row["subject_uid"],
        message=said,
        state=row["state"],
        closed_by=row["closed_by"],
        due_at=from_text(row["due_utc"]),
        changed_at=from_text(row["changed_at_utc"]),
        sending=None
        if sent is None
        else Sending(sent["state"], from_text_or_none(sent["sent_at_utc"]), sent["last_error"]),
    )
