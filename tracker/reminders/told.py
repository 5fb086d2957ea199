"""What the owner was told and why, what is still to come, and what was withdrawn."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from sqlite_utils import Database

from tracker.reminders.message import Message, of_row
from tracker.reminders.outbox import PAGE
from tracker.reminders.reminder import State
from tracker.store import reminders as rows
from tracker.store import snoozes
from tracker.store.channels import channel_names
from tracker.store.moments import from_text, from_text_or_none
from tracker.words import say

NEWEST = 60
NEXT = 20


@dataclass(frozen=True, slots=True)
class Sending:
    """How a message fared on one channel: its state, when it was sent, and what went wrong last."""

    channel: str
    state: str
    sent_at: datetime | None
    last_error: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """A reminder as it was, or will be, told. `sending` tells of each channel it went by."""

    uid: str
    telling: int = 1
    key: str
    kind: str
    watch_uid: str
    message: Message
    state: State
    closed_by: str | None
    due_at: datetime
    changed_at: datetime
    sending: tuple[Sending, ...] = ()
    put_off_until: datetime | None = None


def newest(db: Database, zone: ZoneInfo, now: datetime, limit: int = NEWEST) -> list[Told]:
    """The reminders that changed last and are no longer to come, newest first."""
    return _told(db, [row for row in rows.recent_reminders(db, limit) if row["state"] != "planned"], zone, now)


def to_come(db: Database, zone: ZoneInfo, now: datetime, limit: int = NEXT) -> list[Told]:
    """The reminders still to be told, the next first."""
    return _told(db, rows.planned_reminders(db, limit), zone, now)


def _told(db: Database, found: Sequence[dict[str, Any]], zone: ZoneInfo, now: datetime) -> list[Told]:
    uids = [row["uid"] for row in found]
    sent, put_off = rows.deliveries_of(db, uids, PAGE), snoozes.put_off_until(db, uids, now)
    names, tellings = channel_names(db), snoozes.tellings(db, uids, now)
    return [
        replace(
            _one(row, put_off.get(row["uid"]), zone),
            telling=tellings[row["uid"]],
            sending=tuple(_sending(each, names) for each in sent.get(row["uid"], [])),
        )
        for row in found
    ]


def _sending(row: dict[str, Any], names: dict[str, str]) -> Sending:
    name = names.get(row["channel"], say("a former address"))
    return Sending(name, row["state"], from_text_or_none(row["sent_at_utc"]), row["last_error"])


def _one(row: dict[str, Any], put_off: datetime | None, zone: ZoneInfo) -> Told:
    said = of_row(row, None, zone)
    return Told(
        uid=row["uid"],
        key=said.key,
        kind=row["kind"],
        watch_uid=row["subject_uid"],
        message=said,
        state=row["state"],
        closed_by=row["closed_by"],
        due_at=from_text(row["due_utc"]),
        changed_at=from_text(row["changed_at_utc"]),
        put_off_until=put_off if row["state"] == "due" else None,
    )
