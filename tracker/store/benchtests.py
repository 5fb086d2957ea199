"""Run-down tests as rows."""

from typing import Any

from sqlite_utils import Database

from tracker.core.benchtest import BenchTest
from tracker.store import choices
from tracker.store.moments import from_text, from_text_or_none
from tracker.store.rows import all_rows, one_row

_OPEN = "ended_utc IS NULL AND bench_test.voided_by IS NULL"


def open_tests(db: Database) -> list[BenchTest]:
    """The tests that go on, oldest first."""
    rows = all_rows(db, f"SELECT * FROM bench_test WHERE {_OPEN} ORDER BY noted_at_utc, uid")  # noqa: S608 -- a constant
    return [_test(db, row) for row in rows]


def ended_tests(db: Database, limit: int) -> list[BenchTest]:
    """The tests that ended last, the newest first."""
    sql = "SELECT * FROM bench_test WHERE ended_utc IS NOT NULL AND voided_by IS NULL ORDER BY ended_utc DESC, uid LIMIT ?"
    return [_test(db, row) for row in all_rows(db, sql, [limit])]


def running_of(db: Database, watch_uid: str) -> BenchTest | None:
    """The test of a watch that goes on."""
    row = one_row(db, f"SELECT * FROM bench_test WHERE watch_uid = ? AND {_OPEN}", [watch_uid])  # noqa: S608 -- a constant
    return _test(db, row) if row else None


def bench_test(db: Database, uid: str) -> BenchTest | None:
    """One test, over or not."""
    row = one_row(db, "SELECT * FROM bench_test WHERE uid = ? AND voided_by IS NULL", [uid])
    return _test(db, row) if row else None


def under_test(db: Database) -> dict[str, BenchTest]:
    """By watch the test that holds it: it is to run down, and nobody is to wind it."""
    return {test.watch_uid: test for test in open_tests(db) if test.holds}


def two_open(db: Database) -> bool:
    """Whether a watch has two tests that go on."""
    sql = f"SELECT 1 FROM bench_test WHERE {_OPEN} GROUP BY watch_uid HAVING count(*) > 1"  # noqa: S608 -- a constant
    return one_row(db, sql) is not None


def bench_used(db: Database) -> bool:
    """Whether the bench is used: a test, a reading or a barrel was ever noted, or a customer's watch."""
    sql = (
        "SELECT 1 WHERE EXISTS (SELECT 1 FROM bench_test WHERE voided_by IS NULL) "
        "OR EXISTS (SELECT 1 FROM timing_reading WHERE voided_by IS NULL) "
        "OR EXISTS (SELECT 1 FROM barrel WHERE voided_by IS NULL) "
        "OR EXISTS (SELECT 1 FROM watch WHERE job_number != '' AND voided_by IS NULL)"
    )
    return one_row(db, sql) is not None


def as_it_stands(db: Database, wind_uid: str) -> dict[str, Any] | None:
    """The row of a winding, or of what corrected it since; None if it was taken out."""
    row = one_row(db, "SELECT * FROM winding WHERE uid = ?", [wind_uid])
    while row is not None and row["voided_by"] is not None:
        row = one_row(db, "SELECT * FROM winding WHERE replaces = ?", [row["uid"]])
    return row


def _test(db: Database, row: dict[str, Any]) -> BenchTest:
    wind, newest = as_it_stands(db, row["wind_uid"]), choices.newest_wind(db, row["watch_uid"])
    last = as_it_stands(db, newest) if newest else None
    return BenchTest(
        uid=row["uid"],
        watch_uid=row["watch_uid"],
        wind_uid=wind["uid"] if wind else None,
        wound_at=from_text(wind["at_utc"]) if wind else None,
        newest_at=from_text(last["at_utc"]) if last else None,
        occasion=row["occasion"],
        position=row["position"] or "",
        note=row["note"],
        noted_at=from_text(row["noted_at_utc"]),
        ended_at=from_text_or_none(row["ended_utc"]),
        ended_by=row["ended_by"],
        reason=row["reason"],
    )
