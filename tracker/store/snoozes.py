"""Reminders put off as rows, and which telling of a reminder it is by now."""

from collections.abc import Collection
from datetime import datetime

from sqlite_utils import Database

from tracker.store.moments import from_text, to_text
from tracker.store.rows import all_rows

PUT_OFF = "EXISTS (SELECT 1 FROM snooze WHERE reminder_uid = reminder.uid AND voided_by IS NULL AND until_utc > :now)"
TELLING = (
    "(SELECT coalesce(max(telling), 1) FROM snooze WHERE reminder_uid = reminder.uid AND voided_by IS NULL "
    "AND until_utc <= :now)"
)
"""Which telling of a reminder it is: the first, or the one that followed when it had been put off."""


def put_off_until(db: Database, reminder_uids: Collection[str], now: datetime) -> dict[str, datetime]:
    """By reminder, until when it is put off, of those that are."""
    marks = ", ".join("?" for _ in reminder_uids)
    found = all_rows(
        db,
        "SELECT reminder_uid, max(until_utc) AS until_utc FROM snooze WHERE voided_by IS NULL AND until_utc > ? "  # noqa: S608 -- marks only
        f"AND reminder_uid IN ({marks}) GROUP BY reminder_uid",
        [to_text(now), *reminder_uids],
    )
    return {row["reminder_uid"]: from_text(row["until_utc"]) for row in found}


def tellings(db: Database, reminder_uids: Collection[str], now: datetime) -> dict[str, int]:
    """By reminder, which telling of it is the present one."""
    marks = {f"uid_{n}": uid for n, uid in enumerate(sorted(reminder_uids))}
    found = all_rows(
        db,
        f"SELECT uid, {TELLING} AS telling FROM reminder WHERE uid IN ({', '.join(f':{mark}' for mark in marks)})",  # noqa: S608 -- marks and a constant
        {"now": to_text(now), **marks},
    )
    return {row["uid"]: row["telling"] for row in found}


def next_telling(db: Database, reminder_uid: str) -> int:
    """The telling that ends one more putting off; one that was taken back keeps its own."""
    sql = "SELECT coalesce(max(telling), 1) + 1 AS telling FROM snooze WHERE reminder_uid = ?"
    (row,) = all_rows(db, sql, [reminder_uid])
    return int(row["telling"])
