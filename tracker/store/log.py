"""The log as rows and as the core's values."""

from collections import defaultdict
from collections.abc import Collection, Sequence
from datetime import datetime
from typing import Any

from sqlite_utils import Database

from tracker.core.timeline import Entry, OnWinder, Service, Shown, Sighting, Wear, Wind
from tracker.store.moments import from_text
from tracker.store.rows import all_rows, one_row
from tracker.store.writer import LOG_TABLES

_COMMON = "watch_uid, uid, at_utc, zone, within_min"
_STOOD = "shown, shown_date, nothing_between, side_spring_used"
_READ = {
    "winding": f"{_COMMON}, amount, crown_turns, found, hands, date_set, {_STOOD}",
    "sighting": f"{_COMMON}, seen, indicator_reading, {_STOOD}",
    "wear": f"{_COMMON}, act",
    "on_winder": f"{_COMMON}, act, turns_a_day",
    "service": _COMMON,
}
"""What an entry is made of. The other tables tell nothing of a run: tracker.store.readings and tracker.store.signs read them."""


def shown_from_text(text: str | None, date: int | None) -> Shown | None:
    """What the hands showed, from `4:37`; None where nobody read them."""
    if text is None:
        return None
    hours, minutes = text.split(":")
    return Shown(minutes=int(hours) * 60 + int(minutes), date=date)


def _entry(table: str, row: Sequence[Any]) -> Entry:
    _, uid, at_utc, zone, within_min, *told = row
    at = from_text(at_utc)
    if table == "winding":
        amount, crown_turns, found, hands, date_set, shown, date, nothing_between, side_spring_used = told
        return Wind(
            uid=uid,
            at=at,
            zone=zone,
            within_min=within_min,
            amount=amount,
            crown_turns=crown_turns,
            found=found,
            hands=hands,
            date_set=bool(date_set),
            shown=shown_from_text(shown, date),
            nothing_between=bool(nothing_between),
            side_spring_used=bool(side_spring_used),
        )
    if table == "sighting":
        seen, indicator_reading, shown, date, nothing_between, side_spring_used = told
        return Sighting(
            uid=uid,
            at=at,
            zone=zone,
            within_min=within_min,
            seen=seen,
            indicator_reading=indicator_reading,
            shown=shown_from_text(shown, date),
            nothing_between=bool(nothing_between),
            side_spring_used=bool(side_spring_used),
        )
    if table == "wear":
        return Wear(uid=uid, at=at, zone=zone, within_min=within_min, act=told[0])
    if table == "on_winder":
        return OnWinder(uid=uid, at=at, zone=zone, within_min=within_min, act=told[0], turns_a_day=told[1])
    return Service(uid=uid, at=at, zone=zone, within_min=within_min)


def entries(db: Database, watch_uids: Collection[str]) -> dict[str, list[Entry]]:
    """What is noted of each of these watches, without what was voided."""
    logs: dict[str, list[Entry]] = defaultdict(list)
    marks = ", ".join("?" for _ in watch_uids)
    for table, columns in _READ.items():
        rows = db.execute(
            f"SELECT {columns} FROM {table} WHERE watch_uid IN ({marks}) AND voided_by IS NULL",  # noqa: S608 -- names are ours
            list(watch_uids),
        )
        for row in rows:
            logs[row[0]].append(_entry(table, row))
    return logs


def entry_rows(db: Database, watch_uid: str, *, voided: bool = False) -> list[dict[str, Any]]:
    """The log of one watch as it is kept, newest first, each row with its `table`."""
    found = [
        {"table": table, **row}
        for table in LOG_TABLES
        for row in _rows(db, table, [watch_uid])
        if voided or row["voided_by"] is None
    ]
    return sorted(found, key=lambda row: (row["at_utc"], row["noted_at_utc"], row["uid"]), reverse=True)


def all_entry_rows(db: Database) -> list[dict[str, Any]]:
    """Every entry not voided, oldest first, each with its `table` and the `nickname` of its watch."""
    found = [
        {"table": table, **row}
        for table in LOG_TABLES
        for row in all_rows(
            db,
            f"SELECT {table}.*, watch.nickname FROM {table} JOIN watch ON watch.uid = watch_uid "  # noqa: S608 -- names are ours
            f"WHERE {table}.voided_by IS NULL AND watch.voided_by IS NULL",
        )
    ]
    return sorted(found, key=lambda row: (row["at_utc"], row["noted_at_utc"], row["uid"]))


def find_entry(db: Database, uid: str) -> dict[str, Any] | None:
    """The row of this uid with its `table`, voided or not."""
    for table in LOG_TABLES:
        row = one_row(db, f"SELECT * FROM {table} WHERE uid = ?", [uid])  # noqa: S608 -- names are ours
        if row is not None:
            return {"table": table, **row}
    return None


def _rows(db: Database, table: str, watch_uids: Collection[str]) -> list[dict[str, Any]]:
    marks = ", ".join("?" for _ in watch_uids)
    return all_rows(db, f"SELECT * FROM {table} WHERE watch_uid IN ({marks})", list(watch_uids))  # noqa: S608 -- names are ours


def windings_of_late(db: Database, watch_uids: Collection[str], limit: int) -> list[Wind]:
    """The newest full windings of these watches, so many of each, in order of time."""
    found = [
        _entry("winding", row)
        for uid in watch_uids
        for row in db.execute(
            f"SELECT {_READ['winding']} FROM winding "  # noqa: S608 -- names are ours
            "WHERE watch_uid = ? AND amount = 'full' AND voided_by IS NULL ORDER BY at_utc DESC LIMIT ?",
            [uid, limit],
        ).fetchall()
    ]
    return sorted((each for each in found if isinstance(each, Wind)), key=lambda each: each.at)


def newest_winding(db: Database, watch_uid: str) -> tuple[str, datetime] | None:
    """The newest winding of a watch: the uid it was first noted under, whatever corrected it since, and when it was."""
    return _newest(db, "winding", watch_uid)


def newest_run(db: Database, watch_uid: str) -> tuple[str, datetime] | None:
    """As `newest_winding`, of what sets a watch going: it was wound, put on or laid down."""
    found = [each for table in ("winding", "wear") if (each := _newest(db, table, watch_uid)) is not None]
    return max(found, key=lambda each: each[1], default=None)


def _newest(db: Database, table: str, watch_uid: str) -> tuple[str, datetime] | None:
    row = one_row(
        db,
        "WITH RECURSIVE noted(uid, replaces, at_utc) AS ("  # noqa: S608 -- names are ours
        f"SELECT * FROM (SELECT uid, replaces, at_utc FROM {table} WHERE watch_uid = ? AND voided_by IS NULL "
        "ORDER BY at_utc DESC, uid DESC LIMIT 1) "
        f"UNION SELECT {table}.uid, {table}.replaces, noted.at_utc FROM {table} JOIN noted ON {table}.uid = noted.replaces"
        f") SELECT uid, at_utc FROM noted WHERE replaces IS NULL OR replaces NOT IN (SELECT uid FROM {table})",
        [watch_uid],
    )
    return None if row is None else (row["uid"], from_text(row["at_utc"]))
