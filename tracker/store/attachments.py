"""Photographs and other files: their rows, and which entry of the log each belongs to by now."""

from collections.abc import Mapping, Sequence
from typing import Any

from sqlite_utils import Database

from tracker.store.log import entry_rows
from tracker.store.rows import all_rows, one_row

Row = dict[str, Any]


def attachment(db: Database, uid: str, *, taken_out: bool = False) -> Row | None:
    """The photograph of this uid, unless it was taken out; with `taken_out` even then."""
    row = one_row(db, "SELECT * FROM attachment WHERE uid = ?", [uid])
    return None if row is None or (row["voided_by"] is not None and not taken_out) else row


def of_watch(db: Database, watch_uid: str) -> list[Row]:
    """The files that go with the watch itself, oldest first."""
    sql = "SELECT * FROM attachment WHERE of_uid = ? AND voided_by IS NULL ORDER BY noted_at_utc, uid"
    return all_rows(db, sql, [watch_uid])


def watches_with_files(db: Database) -> set[str]:
    """The uids of watches of which any file is kept."""
    return {
        row["watch_uid"] for row in all_rows(db, "SELECT DISTINCT watch_uid FROM attachment WHERE voided_by IS NULL")
    }


def by_entry(db: Database, watch_uid: str) -> dict[str, list[Row]]:
    """A watch's photographs by the uid of the entry each belongs to, through every correction; without those taken out."""
    sql = "SELECT * FROM attachment WHERE watch_uid = ? AND voided_by IS NULL ORDER BY noted_at_utc, uid"
    found = all_rows(db, sql, [watch_uid])
    if not found:
        return {}
    rows = {row["uid"]: row for row in entry_rows(db, watch_uid, voided=True)}
    kept = {uid: _of(_chain(uid, rows), found) for uid, row in rows.items() if row["voided_by"] is None}
    return {uid: photographs for uid, photographs in kept.items() if photographs}


def _chain(uid: str, rows: Mapping[str, Row]) -> set[str]:
    """An entry and all it corrects, step by step."""
    chain = {uid}
    while (before := rows[uid]["replaces"]) in rows and before not in chain:
        chain.add(before)
        uid = before
    return chain


def _of(chain: set[str], found: Sequence[Row]) -> list[Row]:
    return [photograph for photograph in found if photograph["of_uid"] in chain]
