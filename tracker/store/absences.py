"""Absences as rows: when the owner is away, and what travels along."""

import json
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlite_utils import Database

from tracker.core.roundtimes import Away
from tracker.store.moments import from_text, to_text
from tracker.store.rows import all_rows, one_row


@dataclass(frozen=True, slots=True)
class Absent:
    """An absence that is kept; `taken` are the watches (uids) that travel along."""

    uid: str
    away: Away
    taken: tuple[str, ...]


def absences(db: Database) -> list[Absent]:
    """The absences that are kept, past ones too, in order of time."""
    return [_absent(row) for row in all_rows(db, "SELECT * FROM absence WHERE voided_by IS NULL ORDER BY leave_utc")]


def aways(db: Database) -> list[Away]:
    """Their times alone."""
    return [each.away for each in absences(db)]


def ahead(db: Database, now: datetime) -> list[Absent]:
    """Those that are not over."""
    return [each for each in absences(db) if each.away.back > now]


def absence(db: Database, uid: str) -> Absent | None:
    """One of them, if it is kept."""
    row = one_row(db, "SELECT * FROM absence WHERE uid = ? AND voided_by IS NULL", [uid])
    return _absent(row) if row else None


def is_away(db: Database, now: datetime) -> bool:
    """Whether the owner is away now."""
    sql = "SELECT 1 FROM absence WHERE voided_by IS NULL AND leave_utc <= ? AND back_utc > ?"
    return one_row(db, sql, [to_text(now), to_text(now)]) is not None


def overlap(db: Database) -> bool:
    """Whether two absences that are kept have a time in common."""
    sql = (
        "SELECT 1 FROM absence AS one JOIN absence AS other ON one.uid < other.uid AND one.leave_utc < other.back_utc "
        "AND other.leave_utc < one.back_utc WHERE one.voided_by IS NULL AND other.voided_by IS NULL LIMIT 1"
    )
    return one_row(db, sql) is not None


def _absent(row: dict[str, Any]) -> Absent:
    return Absent(
        row["uid"], Away(from_text(row["leave_utc"]), from_text(row["back_utc"])), tuple(json.loads(row["taken"]))
    )
