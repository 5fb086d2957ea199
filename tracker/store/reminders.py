"""Reminders and their deliveries as rows. Moments are given as datetimes and kept as text."""

from collections.abc import Collection
from datetime import datetime
from typing import Any

from sqlite_utils import Database

from tracker.store.moments import to_text
from tracker.store.rows import all_rows, one_row
from tracker.store.snoozes import PUT_OFF, TELLING

Row = dict[str, Any]


def reminders_of(db: Database, kind: str, subject_uid: str, episode: str) -> list[Row]:
    """Of this kind and subject: the open reminders, and all of this episode."""
    return all_rows(
        db,
        "SELECT * FROM reminder WHERE kind = ? AND subject_uid = ? AND (episode = ? OR state IN ('planned', 'due'))",
        [kind, subject_uid, episode],
    )


def reminders_about(db: Database, kind: str, subject_uids: Collection[str]) -> list[Row]:
    """All reminders of this kind about these, open or not."""
    marks = ", ".join("?" for _ in subject_uids)
    return all_rows(
        db,
        f"SELECT * FROM reminder WHERE kind = ? AND subject_uid IN ({marks})",  # noqa: S608 -- marks only
        [kind, *subject_uids],
    )


def open_rows(db: Database, kind: str) -> list[Row]:
    """The open reminders of this kind."""
    return all_rows(db, "SELECT * FROM reminder WHERE kind = ? AND state IN ('planned', 'due')", [kind])


def rounds_at_hand(db: Database, now: datetime) -> list[Row]:
    """The digests of rounds that are open, and all whose time is not over."""
    return all_rows(
        db,
        "SELECT * FROM reminder WHERE kind = 'round' AND (state IN ('planned', 'due') OR useful_until_utc > ?)",
        [to_text(now)],
    )


def told_rounds(db: Database, since: datetime) -> list[tuple[str, str, str]]:
    """Of digests that were told and not over by then: the round, when it was told, until when it was worth it."""
    sql = (
        "SELECT json_extract(facts, '$.at_utc') AS at, due_utc AS told, useful_until_utc AS until FROM reminder "
        "WHERE kind = 'round' AND state IN ('due', 'closed') AND useful_until_utc > ? ORDER BY due_utc"
    )
    return [(row["at"], row["told"], row["until"]) for row in all_rows(db, sql, [to_text(since)])]


def open_subjects(db: Database) -> set[str]:
    """Whatever an open reminder is about."""
    return {
        row["subject_uid"] for row in all_rows(db, "SELECT subject_uid FROM reminder WHERE state IN ('planned', 'due')")
    }


def write_reminder(db: Database, row: Row) -> None:
    """Add a reminder, or bring the one of this uid to what is given."""
    names, marks = ", ".join(row), ", ".join("?" for _ in row)
    values = ", ".join(f"{name} = excluded.{name}" for name in row)
    db.execute(
        f"INSERT INTO reminder ({names}) VALUES ({marks}) ON CONFLICT (uid) DO UPDATE SET {values}",  # noqa: S608 -- names are ours
        list(row.values()),
    )


def make_due(db: Database, now: datetime, useful_from: datetime) -> list[str]:
    """Turn planned reminders whose moment has come into due ones, but not those useful only before `useful_from`.

    A digest is of use until the next round and no longer. Returns their uids.
    """
    rows = all_rows(
        db,
        "UPDATE reminder SET state = 'due', changed_at_utc = ? WHERE state = 'planned' AND due_utc <= ? "
        "AND useful_until_utc > CASE kind WHEN 'round' THEN ? ELSE ? END RETURNING uid",
        [to_text(now), to_text(now), to_text(now), to_text(useful_from)],
    )
    return [row["uid"] for row in rows]


def due_reminders(db: Database, useful_from: datetime) -> list[Row]:
    """Reminders that are due and were still useful after `useful_from`, the most urgent first."""
    return all_rows(
        db,
        "SELECT * FROM reminder WHERE state = 'due' AND useful_until_utc > ? ORDER BY useful_until_utc, uid",
        [to_text(useful_from)],
    )


_USEFUL = "useful_until_utc > CASE kind WHEN 'round' THEN :now ELSE :useful_from END"


def untold(db: Database, now: datetime, useful_from: datetime, channels: Collection[str]) -> list[Row]:
    """By `reminder_uid`, `channel` and `telling`: what is due, not put off, useful after `useful_from`, and on no such way yet.

    Only these channels are looked at.
    """
    names = {f"channel_{n}": channel for n, channel in enumerate(sorted(channels))}
    marks = ", ".join(f"(:{name})" for name in names)
    return (
        []
        if not names
        else all_rows(
            db,
            f"WITH way(channel) AS (VALUES {marks}), asked AS (SELECT uid, {TELLING} AS telling FROM reminder "  # noqa: S608 -- marks and constants
            f"WHERE state = 'due' AND {_USEFUL} AND NOT {PUT_OFF}) "
            "SELECT asked.uid AS reminder_uid, channel, asked.telling FROM asked CROSS JOIN way WHERE NOT EXISTS (SELECT 1 "
            "FROM delivery WHERE reminder_uid = asked.uid AND delivery.channel = way.channel "
            "AND delivery.telling = asked.telling)",
            {"now": to_text(now), "useful_from": to_text(useful_from), **names},
        )
    )


def add_delivery(db: Database, row: Row) -> None:
    """Add a delivery; one there is of this reminder on this channel stays as it is."""
    marks = ", ".join("?" for _ in row)
    db.execute(f"INSERT OR IGNORE INTO delivery ({', '.join(row)}) VALUES ({marks})", list(row.values()))  # noqa: S608 -- names are ours


_EXPIRED = "state = 'claimed' AND (claimed_until_utc <= :now OR claimed_until_utc > :lease_end)"


def stop_repeating(db: Database, now: datetime, lease_end: datetime, why: str) -> None:
    """Leave alone what was found claimed after its lease for the second time: it may have arrived twice already."""
    db.execute(
        f"UPDATE delivery SET state = 'possibly twice', claimed_until_utc = NULL, last_error = :why "  # noqa: S608 -- a constant
        f"WHERE {_EXPIRED} AND unanswered > 0",
        {"now": to_text(now), "lease_end": to_text(lease_end), "why": why},
    )


def claim_delivery(
    db: Database,
    now: datetime,
    *,
    lease_end: datetime,
    latest_try: datetime,
    useful_from: datetime,
    channel: str,
) -> Row | None:
    """Claim the next delivery to be made now, until `lease_end`; None if there is none.

    A claim left over by a crash is taken up after its lease and counted in `unanswered`. A lease or a next try further
    off than any can be (`lease_end`, `latest_try`) was set by a clock since put back, and holds no longer.

    Args:
        db: inside a change.
        now: this moment.
        lease_end: until when the claim holds.
        latest_try: the furthest a next try can be put off from now.
        useful_from: reminders useful only before this are passed over.
        channel: the one to be tried.
    """
    cursor = db.execute(
        "UPDATE delivery SET unanswered = unanswered + (state = 'claimed'), state = 'claimed', "  # noqa: S608 -- constants
        "claimed_until_utc = :lease_end, tries = tries + 1 WHERE uid = ("
        "SELECT delivery.uid FROM delivery JOIN reminder ON reminder.uid = reminder_uid "
        f"WHERE reminder.state = 'due' AND {_USEFUL} AND channel = :channel AND telling = {TELLING} AND NOT {PUT_OFF} AND ("
        "delivery.state = 'waiting' AND (next_try_utc <= :now OR next_try_utc > :latest_try) "
        f"OR delivery.{_EXPIRED}) "
        "ORDER BY tries, next_try_utc, delivery.uid LIMIT 1) RETURNING uid, reminder_uid, channel, telling, tries, unanswered",
        {
            "now": to_text(now),
            "lease_end": to_text(lease_end),
            "latest_try": to_text(latest_try),
            "useful_from": to_text(useful_from),
            "channel": channel,
        },
    )
    found = cursor.fetchone()
    return None if found is None else dict(zip((column[0] for column in cursor.description), found, strict=True))


def reminder_of_claim(db: Database, uid: str, tries: int) -> Row | None:
    """The reminder of a claim that still holds, if it is still due."""
    return one_row(
        db,
        "SELECT reminder.*, telling FROM delivery JOIN reminder ON reminder.uid = reminder_uid "
        "WHERE delivery.uid = ? AND tries = ? AND delivery.state = 'claimed' AND reminder.state = 'due'",
        [uid, tries],
    )


def end_claim(db: Database, uid: str, tries: int, values: Row) -> None:
    """Write how a claim ended; one that was taken over meanwhile is left to whoever has it."""
    columns = ", ".join(f"{name} = ?" for name in values)
    db.execute(
        f"UPDATE delivery SET {columns}, claimed_until_utc = NULL WHERE uid = ? AND tries = ? AND state = 'claimed'",  # noqa: S608 -- names are ours
        [*values.values(), uid, tries],
    )


def recent_reminders(db: Database, limit: int) -> list[Row]:
    """The reminders that changed last, newest first."""
    return all_rows(db, "SELECT * FROM reminder ORDER BY changed_at_utc DESC, uid LIMIT ?", [limit])


def planned_reminders(db: Database, limit: int) -> list[Row]:
    """The reminders still to be told, the next first."""
    return all_rows(db, "SELECT * FROM reminder WHERE state = 'planned' ORDER BY due_utc, uid LIMIT ?", [limit])


def reminder(db: Database, uid: str) -> Row | None:
    """The reminder of this uid."""
    return one_row(db, "SELECT * FROM reminder WHERE uid = ?", [uid])


def last_ended(db: Database, channel: str) -> Row | None:
    """The delivery on this channel that came to an end last."""
    return one_row(
        db,
        "SELECT state, last_error, sent_at_utc FROM delivery WHERE channel = ? AND state IN ('sent', 'possibly twice', "
        "'given up') ORDER BY coalesce(sent_at_utc, next_try_utc) DESC, rowid DESC LIMIT 1",
        [channel],
    )


def deliveries_of(db: Database, reminder_uids: Collection[str], page: str) -> dict[str, list[Row]]:
    """By reminder, its deliveries on every channel but the page, each channel's last telling alone."""
    marks = ", ".join("?" for _ in reminder_uids)
    found = all_rows(
        db,
        f"SELECT * FROM delivery WHERE channel != ? AND reminder_uid IN ({marks}) ORDER BY telling, uid",  # noqa: S608 -- marks only
        [page, *reminder_uids],
    )
    newest: dict[str, dict[str, Row]] = {}
    for row in found:
        newest.setdefault(row["reminder_uid"], {})[row["channel"]] = row
    return {uid: list(by_channel.values()) for uid, by_channel in newest.items()}
