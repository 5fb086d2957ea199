"""The audit of every change: who, when, from where, what; and what undo needs."""

import json
from datetime import datetime
from typing import Any

from sqlite_utils import Database

from tracker.store.moments import from_text
from tracker.store.rows import all_rows, one_row


def find_command(db: Database, uid: str) -> dict[str, Any] | None:
    """The record of a command that was applied."""
    return one_row(db, "SELECT * FROM command_log WHERE uid = ?", [uid])


def record(db: Database, row: dict[str, Any]) -> None:
    """Keep the record of a command."""
    marks = ", ".join("?" for _ in row)
    db.execute(f"INSERT INTO command_log ({', '.join(row)}) VALUES ({marks})", list(row.values()))  # noqa: S608 -- names are ours


def newest_batch(db: Database, person_uid: str) -> str | None:
    """This person's newest batch of commands not yet undone; undoing is not itself undone, nor is the example's past."""
    row = one_row(
        db,
        "SELECT batch FROM command_log WHERE person_uid = ? AND undone_by IS NULL AND kind != 'Undo' AND origin != 'example' "
        "ORDER BY number DESC LIMIT 1",
        [person_uid],
    )
    return None if row is None else row["batch"]


def batch_rows(db: Database, batch: str, person_uid: str | None) -> list[dict[str, Any]]:
    """This person's commands of one batch not yet undone, anyone's with None, newest first, their `before` images decoded."""
    rows = all_rows(
        db,
        "SELECT * FROM command_log WHERE batch = ? AND person_uid = coalesce(?, person_uid) AND undone_by IS NULL "
        "AND kind != 'Undo' ORDER BY number DESC",
        [batch, person_uid],
    )
    return [row | {"before": json.loads(row["before"])} for row in rows]


def batch_counts(db: Database, batch: str, person_uid: str) -> dict[str, int]:
    """How many commands of each kind this person's batch holds that are not undone."""
    sql = "SELECT kind, count(*) AS n FROM command_log WHERE batch = ? AND person_uid = ? AND undone_by IS NULL GROUP BY kind"
    return {row["kind"]: row["n"] for row in all_rows(db, sql, [batch, person_uid])}


def batch_payloads(db: Database, batch: str, person_uid: str, at_most: int) -> list[dict[str, Any]]:
    """The newest commands of this person's batch that are not undone: `uid`, `payload` (JSON) and `at_utc`."""
    return all_rows(
        db,
        "SELECT uid, payload, at_utc FROM command_log WHERE batch = ? AND person_uid = ? AND undone_by IS NULL "
        "ORDER BY number DESC LIMIT ?",
        [batch, person_uid, at_most],
    )


def given_after(db: Database, batch: str, number: int) -> list[dict[str, Any]]:
    """The commands of a batch from this number on, in their order: `uid` and `kind`."""
    return all_rows(
        db, "SELECT uid, kind FROM command_log WHERE batch = ? AND number >= ? ORDER BY number", [batch, number]
    )


def changed_since(db: Database, rows: list[dict[str, Any]]) -> bool:
    """Whether a change that still stands came after these and wrote a row that they wrote.

    Neither versions nor values tell: an undo makes a new version, too, and a value may have come back.
    """
    written = {_place(image) for row in rows for image in row["before"]}
    later = all_rows(
        db,
        "SELECT before FROM command_log WHERE number > ? AND undone_by IS NULL AND kind != 'Undo'",
        [max(row["number"] for row in rows)],
    )
    return any(_place(image) in written for row in later for image in json.loads(row["before"]))


def _place(image: dict[str, Any]) -> tuple[str, str]:
    return image["table"], image["key"]


def mark_undone(db: Database, uid: str, by: str) -> None:
    """Note that a command was undone, and by which."""
    db.execute("UPDATE command_log SET undone_by = ? WHERE uid = ?", [by, uid])


def holds_own_entries(db: Database) -> bool:
    """Whether anyone but the example ever gave a command here."""
    return one_row(db, "SELECT uid FROM command_log WHERE origin != 'example' LIMIT 1") is not None


def first_origin(db: Database) -> str | None:
    """Where the very first command here came from; None where nothing was ever changed."""
    row = one_row(db, "SELECT origin FROM command_log ORDER BY number LIMIT 1")
    return None if row is None else row["origin"]


def is_example(db: Database) -> bool:
    """Whether this is the example collection: it is only ever filled into an empty one, so the first command tells."""
    return first_origin(db) == "example"


def newest_moment(db: Database) -> datetime | None:
    """When the newest change was made by the clock of that moment; None where nothing was ever changed."""
    row = one_row(db, "SELECT at_utc FROM command_log ORDER BY number DESC LIMIT 1")
    return None if row is None else from_text(row["at_utc"])
