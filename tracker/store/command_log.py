"""The audit of every change: who, when, from where, what; and what undo needs."""

import json
from typing import Any

from sqlite_utils import Database

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


def batch_rows(db: Database, batch: str, person_uid: str) -> list[dict[str, Any]]:
    """This person's commands of one batch not yet undone, newest first, their `before` images decoded."""
    rows = all_rows(
        db,
        "SELECT * FROM command_log WHERE batch = ? AND person_uid = ? AND undone_by IS NULL AND kind != 'Undo' "
        "ORDER BY number DESC",
        [batch, person_uid],
    )
    return [row | {"before": json.loads(row["before"])} for row in rows]


def mark_undone(db: Database, uid: str, by: str) -> None:
    """Note that a command was undone, and by which."""
    db.execute("UPDATE command_log SET undone_by = ? WHERE uid = ?", [by, uid])


def holds_own_entries(db: Database) -> bool:
    """Whether anyone but the example ever gave a command here."""
    return one_row(db, "SELECT uid FROM command_log WHERE origin != 'example' LIMIT 1") is not None
