"""Channels to the owner as rows. An address is a secret: it lies apart, and a channel names it by uid alone."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlite_utils import Database

from tracker.store.moments import from_text, to_text
from tracker.store.rows import all_rows, one_row

STANDING = "removed_utc IS NULL AND voided_by IS NULL"


@dataclass(frozen=True, slots=True)
class Channel:
    """A way to the owner, under a name of theirs."""

    uid: str
    name: str
    paused: bool
    version: int


@dataclass(frozen=True, slots=True)
class Rest:
    """How often in a row a channel failed, since when, and until when it is left in peace."""

    failures: int
    since: datetime
    until: datetime


def channels(db: Database) -> list[Channel]:
    """Every channel that was not removed, the oldest first."""
    return [_channel(row) for row in all_rows(db, f"SELECT * FROM channel WHERE {STANDING} ORDER BY added_utc, uid")]  # noqa: S608 -- a constant


def channel(db: Database, uid: str) -> Channel | None:
    """One channel, unless it was removed."""
    row = one_row(db, f"SELECT * FROM channel WHERE uid = ? AND {STANDING}", [uid])  # noqa: S608 -- a constant
    return None if row is None else _channel(row)


def channel_named(db: Database, name: str) -> Channel | None:
    """The channel of this name, however it is written, unless it was removed."""
    return next((each for each in channels(db) if each.name.casefold() == name.casefold()), None)


def two_of_a_name(db: Database) -> bool:
    """Whether two channels that were not removed are called alike."""
    names = [each.name.casefold() for each in channels(db)]
    return len(set(names)) < len(names)


def lacks_address(db: Database) -> bool:
    """Whether a channel that was not removed has an address no longer."""
    sql = "SELECT 1 FROM channel JOIN channel_address ON channel_address.uid = address_uid WHERE address = '' "
    return one_row(db, f"{sql} AND {STANDING}") is not None


def channel_names(db: Database) -> dict[str, str]:
    """By uid the name of every channel there ever was."""
    return {row["uid"]: row["name"] for row in all_rows(db, "SELECT uid, name FROM channel")}


def address_of(db: Database, channel_uid: str) -> str:
    """The secret itself, for whoever sends; empty where it was forgotten."""
    sql = "SELECT address FROM channel JOIN channel_address ON channel_address.uid = address_uid WHERE channel.uid = ?"
    row = one_row(db, sql, [channel_uid])
    return "" if row is None else str(row["address"])


def keep_address(db: Database, uid: str, address: str) -> None:
    """Lay an address down for the channel to come, inside a change; one in use stays. Unused ones laid before go."""
    db.execute("DELETE FROM channel_address WHERE uid NOT IN (SELECT address_uid FROM channel)")
    db.execute("INSERT OR IGNORE INTO channel_address (uid, address) VALUES (?, ?)", [uid, address])


def holds_address(db: Database, address_uid: str) -> bool:
    """Whether an address was laid down under this uid."""
    return one_row(db, "SELECT uid FROM channel_address WHERE uid = ?", [address_uid]) is not None


def forget_removed(db: Database, before: datetime) -> None:
    """Empty the addresses of channels removed before this moment, inside a change; until then an undo finds them.

    Those whose adding was taken back are emptied at once: that is not undone.
    """
    db.execute(
        "UPDATE channel_address SET address = '' WHERE address != '' AND uid IN "
        "(SELECT address_uid FROM channel WHERE removed_utc < ? OR voided_by IS NOT NULL)",
        [to_text(before)],
    )


def rest_of(db: Database, channel_uid: str) -> Rest | None:
    """How a channel that failed last is left in peace; None for one in order."""
    row = one_row(db, "SELECT * FROM channel_rest WHERE channel_uid = ?", [channel_uid])
    return None if row is None else Rest(row["failures"], from_text(row["since_utc"]), from_text(row["until_utc"]))


def let_rest(db: Database, channel_uid: str, rest: Rest) -> None:
    """Leave a channel in peace for a while, inside a change."""
    db.execute(
        "INSERT OR REPLACE INTO channel_rest (channel_uid, failures, since_utc, until_utc) VALUES (?, ?, ?, ?)",
        [channel_uid, rest.failures, to_text(rest.since), to_text(rest.until)],
    )


def in_order(db: Database, channel_uid: str) -> None:
    """A channel answered: nothing keeps it waiting any more."""
    db.execute("DELETE FROM channel_rest WHERE channel_uid = ?", [channel_uid])


def _channel(row: dict[str, Any]) -> Channel:
    return Channel(row["uid"], row["name"], bool(row["paused"]), row["version"])
