"""The one address to remind, once a preference, becomes a channel; no change that was recorded keeps it in clear."""

import json
from datetime import UTC, datetime

from sqlite_utils import Database

from tracker.store.rows import all_rows
from tracker.uids import uid_of

NAME = "remind_address"
FORMER = "address"
"""What its deliveries called it."""


def move_address(db: Database) -> None:
    """Bring the address, its deliveries and what was recorded of it over, inside the migration.

    Without an address nothing is lost but messages that waited for one.
    """
    found = all_rows(db, "SELECT value FROM setting WHERE name = ?", [NAME])
    address = json.loads(found[0]["value"]) if found else ""
    db.execute("DELETE FROM setting WHERE name = ?", [NAME])
    _forget_in_records(db)
    if not address:
        db.execute("DELETE FROM delivery WHERE channel = ? AND state IN ('waiting', 'claimed')", [FORMER])
        return
    channel_uid = uid_of("channel", "the first address")
    address_uid = uid_of("channel address", "the first address")
    name = "Mail" if address.lower().startswith("mailto") else "Webhook"
    db.execute("INSERT INTO channel_address (uid, address) VALUES (?, ?)", [address_uid, address])
    db.execute(
        "INSERT INTO channel (uid, name, address_uid, added_utc) VALUES (?, ?, ?, ?)",
        [channel_uid, name, address_uid, _since(db)],
    )
    db.execute("UPDATE delivery SET channel = ? WHERE channel = ?", [channel_uid, FORMER])


def _since(db: Database) -> str:
    """The latest change of a preference; the moment of the migration is nobody's concern."""
    (at,) = db.execute("SELECT max(at_utc) FROM command_log WHERE kind = 'ChangeSettings'").fetchone()
    return at or datetime(2026, 1, 1, tzinfo=UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def _forget_in_records(db: Database) -> None:
    for row in all_rows(db, "SELECT number, payload, before FROM command_log WHERE kind = 'ChangeSettings'"):
        payload = json.loads(row["payload"])
        payload.pop(NAME, None)
        images = [each for each in json.loads(row["before"]) if (each["table"], each["key"]) != ("setting", NAME)]
        db.execute(
            "UPDATE command_log SET payload = ?, before = ? WHERE number = ?",
            [json.dumps(payload, ensure_ascii=False), json.dumps(images, ensure_ascii=False), row["number"]],
        )
