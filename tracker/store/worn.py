"""What each person wore, as rows of the log."""

from typing import Any

from sqlite_utils import Database

from tracker.store.rows import all_rows, one_row

Row = dict[str, Any]


def put_on_between(db: Database, person_uid: str, first: str, last: str) -> list[Row]:
    """What this person put on from one moment to another, voided notes too, oldest first."""
    sql = "SELECT rowid, * FROM wear WHERE worn_by = ? AND act = 'put on' AND at_utc BETWEEN ? AND ? ORDER BY at_utc, rowid"
    return all_rows(db, sql, [person_uid, first, last])


def put_on_next(db: Database, person_uid: str, after: str) -> Row | None:
    """What this person put on next after a moment."""
    sql = "SELECT rowid, * FROM wear WHERE worn_by = ? AND act = 'put on' AND at_utc > ? AND voided_by IS NULL "
    return one_row(db, f"{sql} ORDER BY at_utc, rowid LIMIT 1", [person_uid, after])


def put_on_before(db: Database, put_on: Row) -> Row | None:
    """What the same person put on last before this; of the same moment, what was noted before."""
    sql = """
        SELECT rowid, * FROM wear WHERE worn_by = ? AND act = 'put on' AND voided_by IS NULL
            AND (at_utc, rowid) < (?, ?) ORDER BY at_utc DESC, rowid DESC LIMIT 1
    """
    return one_row(db, sql, [put_on["worn_by"], put_on["at_utc"], put_on["rowid"]])


def laid_down_at(db: Database, person_uid: str, moment: str) -> list[Row]:
    """What this person laid down at this very moment."""
    sql = "SELECT * FROM wear WHERE worn_by = ? AND act = 'laid down' AND at_utc = ? AND voided_by IS NULL"
    return all_rows(db, sql, [person_uid, moment])


def put_on_last(db: Database, watch_uid: str, until: str) -> Row | None:
    """When and by whom this watch was put on last, up to a moment."""
    sql = "SELECT * FROM wear WHERE watch_uid = ? AND act = 'put on' AND at_utc <= ? AND voided_by IS NULL"
    return one_row(db, f"{sql} ORDER BY at_utc DESC, rowid DESC LIMIT 1", [watch_uid, until])


def was_taken_away(db: Database, watch_uid: str, since: str) -> bool:
    """Whether anybody put this watch on, or on a winder, from a moment on."""
    sql = """
        SELECT 1 FROM wear WHERE watch_uid = ? AND act = 'put on' AND at_utc >= ? AND voided_by IS NULL
        UNION SELECT 1 FROM on_winder WHERE watch_uid = ? AND act = 'on' AND at_utc >= ? AND voided_by IS NULL
    """
    return one_row(db, sql, [watch_uid, since] * 2) is not None


def off_the_wrist(db: Database, watch_uid: str, since: str, until: str, act_until: str) -> set[str]:
    """The notes by which this watch has left the wrist it was put on at `since`.

    Those are a stop, a service or another's wrist up to `until`, and its being laid down or put on a winder up to
    `act_until`.
    """
    sql = """
        SELECT uid FROM wear WHERE watch_uid = :watch AND voided_by IS NULL AND at_utc >= :since
            AND (act = 'laid down' AND at_utc <= :act_until OR act = 'put on' AND at_utc > :since AND at_utc < :until)
        UNION SELECT uid FROM on_winder WHERE watch_uid = :watch AND voided_by IS NULL
            AND act = 'on' AND at_utc >= :since AND at_utc <= :act_until
        UNION SELECT uid FROM winding WHERE watch_uid = :watch AND voided_by IS NULL
            AND found = 'stopped' AND at_utc > :since AND at_utc <= :until
        UNION SELECT uid FROM sighting WHERE watch_uid = :watch AND voided_by IS NULL
            AND seen IN ('stopped', 'stopped on purpose') AND at_utc > :since AND at_utc <= :until
        UNION SELECT uid FROM service WHERE watch_uid = :watch AND voided_by IS NULL
            AND at_utc > :since AND at_utc <= :until
    """
    named = {"watch": watch_uid, "since": since, "until": until, "act_until": act_until}
    return {uid for (uid,) in db.execute(sql, named).fetchall()}
