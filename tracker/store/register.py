"""Watches and people as rows."""

from dataclasses import fields
from datetime import date
from typing import Any, cast
from unicodedata import normalize

from sqlite_utils import Database

from tracker.core.watch import Watch, Weekday
from tracker.store.moments import from_text_or_none, to_text
from tracker.store.rows import all_rows, one_row

_SAME = [field.name for field in fields(Watch) if field.name not in {"habit_weekdays", "added_at", "archived_at"}]
_FLAGS = ("date_window", "screw_down_crown", "looks_offered")
_DAYS = ("came_in", "promised_for", "went_out", "service_due_on")


def watch_from_row(row: dict[str, Any]) -> Watch:
    """The register's value of a row."""
    values = {name: row[name] for name in _SAME} | {flag: bool(row[flag]) for flag in _FLAGS}
    values |= {name: date.fromisoformat(row[name]) for name in _DAYS if row[name] is not None}
    return Watch(
        **values,
        habit_weekdays=cast("tuple[Weekday, ...]", tuple(row["habit_weekdays"].split())),
        added_at=from_text_or_none(row["added_utc"]),
        archived_at=from_text_or_none(row["archived_utc"]),
    )


def watch_columns(values: dict[str, Any]) -> dict[str, Any]:
    """Fields of a watch as columns of its row; fields that are not given stay out."""
    columns: dict[str, Any] = {}
    for name, value in values.items():
        if name == "habit_weekdays":
            columns[name] = " ".join(value)
        elif name in {"added_at", "archived_at"}:
            columns[name.replace("_at", "_utc")] = None if value is None else to_text(value)
        elif name in _DAYS:
            columns[name] = None if value is None else value.isoformat()
        else:
            columns[name] = int(value) if name in _FLAGS else value
    return columns


def watches(db: Database, *, archived: bool = False) -> list[Watch]:
    """The watches of the register by nickname: those in use, or with `archived` those put away."""
    condition = "IS NOT NULL" if archived else "IS NULL"
    rows = all_rows(
        db,
        f"SELECT * FROM watch WHERE voided_by IS NULL AND archived_utc {condition} ORDER BY nickname COLLATE NOCASE",  # noqa: S608 -- a constant
    )
    return [watch_from_row(row) for row in rows]


def every_watch(db: Database) -> list[Watch]:
    """Those in use, then those put away."""
    return watches(db) + watches(db, archived=True)


def watch(db: Database, uid: str) -> Watch | None:
    """One watch, archived or not."""
    row = one_row(db, "SELECT * FROM watch WHERE uid = ? AND voided_by IS NULL", [uid])
    return None if row is None else watch_from_row(row)


def as_it_was(db: Database, uid: str, columns: dict[str, Any]) -> Watch | None:
    """The watch with these columns instead of those it has now."""
    row = one_row(db, "SELECT * FROM watch WHERE uid = ? AND voided_by IS NULL", [uid])
    return None if row is None else watch_from_row({**row, **columns})


def watch_named(db: Database, nickname: str) -> Watch | None:
    """The watch of this very nickname, whatever its capitals and however its accents are written."""
    # SQLite's NOCASE knows the capitals of English only.
    sought = _plain(nickname)
    for row in all_rows(db, "SELECT uid, nickname FROM watch WHERE voided_by IS NULL"):
        if _plain(row["nickname"]) == sought:
            return watch(db, row["uid"])
    return None


def _plain(nickname: str) -> str:
    return normalize("NFC", normalize("NFC", nickname).casefold())


def knows_person(db: Database, uid: str) -> bool:
    """Whether there is such a person."""
    return (
        one_row(db, "SELECT 1 FROM person WHERE uid = ? AND removed_utc IS NULL AND voided_by IS NULL", [uid])
        is not None
    )


def log_counters(db: Database) -> dict[str, int]:
    """How often each watch's log has changed; what is cached is good for one count only."""
    return {row["uid"]: row["log_counter"] for row in all_rows(db, "SELECT uid, log_counter FROM watch")}


def log_counters_in_order(db: Database) -> dict[str, int]:
    """As `log_counters`, of the watches of the register alone: those kept going, others in use, those put away."""
    rows = all_rows(
        db,
        "SELECT uid, log_counter FROM watch WHERE voided_by IS NULL "
        "ORDER BY archived_utc IS NOT NULL, habit <> 'keep going', nickname COLLATE NOCASE",
    )
    return {row["uid"]: row["log_counter"] for row in rows}


def owner_uid(db: Database) -> str | None:
    """The uid of the owner who has been there longest, once there is one."""
    row = one_row(
        db,
        "SELECT uid FROM person WHERE role = 'owner' AND removed_utc IS NULL AND voided_by IS NULL ORDER BY added_utc, uid LIMIT 1",
    )
    return None if row is None else row["uid"]
