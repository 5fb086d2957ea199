"""Signs of a fault that a bench noted, as rows."""

from typing import Any

from sqlite_utils import Database

from tracker.core.faults import SIGNS
from tracker.store.rows import all_rows
from tracker.store.schema import LOG_COLUMNS

BENCH_SIGNS = f"""
CREATE TABLE bench_sign ({LOG_COLUMNS},
    sign TEXT NOT NULL CHECK (sign IN ({", ".join(f"'{sign}'" for sign in SIGNS)})),
    word TEXT NOT NULL DEFAULT '',
    figure REAL,
    expected REAL
);
CREATE INDEX bench_sign_watch ON bench_sign(watch_uid, at_utc);
"""


def noted_signs(db: Database, watch_uid: str, since_utc: str = "") -> list[dict[str, Any]]:
    """The signs noted of a watch since a moment that were not voided, oldest first."""
    return all_rows(
        db,
        "SELECT * FROM bench_sign WHERE watch_uid = ? AND voided_by IS NULL AND at_utc >= ? ORDER BY at_utc, uid",
        [watch_uid, since_utc],
    )
