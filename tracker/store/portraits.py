"""Photographs of the watches themselves, as rows; the files lie in `files/` under their hashes."""

from typing import Any

from sqlite_utils import Database

from tracker.store.rows import all_rows, one_row

Row = dict[str, Any]

PORTRAITS = """
CREATE TABLE portrait (
    uid TEXT PRIMARY KEY,
    watch_uid TEXT NOT NULL REFERENCES watch(uid),
    sha256 TEXT NOT NULL CHECK (length(sha256) = 64),
    small_sha256 TEXT NOT NULL CHECK (length(small_sha256) = 64),
    size_bytes INTEGER NOT NULL CHECK (size_bytes > 0),
    chosen INTEGER NOT NULL DEFAULT 0 CHECK (chosen >= 0),
    noted_at_utc TEXT NOT NULL,
    person_uid TEXT NOT NULL REFERENCES person(uid),
    origin TEXT NOT NULL,
    voided_by TEXT,
    version INTEGER NOT NULL DEFAULT 1
);
CREATE INDEX portrait_watch ON portrait(watch_uid);
"""

_IN_ORDER = "ORDER BY chosen DESC, noted_at_utc, rowid"
"""The one chosen last comes first; where none was, the oldest."""


def portrait(db: Database, uid: str, *, taken_out: bool = False) -> Row | None:
    """The photograph of this uid, unless it was taken out; with `taken_out` even then."""
    row = one_row(db, "SELECT * FROM portrait WHERE uid = ?", [uid])
    return None if row is None or (row["voided_by"] is not None and not taken_out) else row


def of_watch(db: Database, watch_uid: str) -> list[Row]:
    """A watch's photographs, the one to be shown first."""
    return all_rows(db, f"SELECT * FROM portrait WHERE watch_uid = ? AND voided_by IS NULL {_IN_ORDER}", [watch_uid])  # noqa: S608 -- our own words


def first_of_each(db: Database) -> dict[str, str]:
    """For each watch that has any, the uid of the photograph to be shown."""
    found: dict[str, str] = {}
    for row in all_rows(db, f"SELECT uid, watch_uid FROM portrait WHERE voided_by IS NULL {_IN_ORDER}"):  # noqa: S608 -- see above
        found.setdefault(row["watch_uid"], row["uid"])
    return found


def most_chosen(db: Database, watch_uid: str) -> int:
    """How far the watch's choices have counted, those taken out too."""
    row = one_row(db, "SELECT max(chosen) AS n FROM portrait WHERE watch_uid = ?", [watch_uid])
    return 0 if row is None or row["n"] is None else int(row["n"])
