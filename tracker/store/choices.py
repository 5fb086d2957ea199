"""The rounds that people chose for watches, as rows."""

from datetime import datetime

from sqlite_utils import Database

from tracker.store.moments import from_text
from tracker.store.rows import all_rows, one_row

NEWEST_WIND = """
SELECT uid FROM winding WHERE winding.watch_uid = ? AND voided_by IS NULL ORDER BY at_utc DESC, uid DESC LIMIT 1
"""


def newest_wind(db: Database, watch_uid: str) -> str | None:
    """The winding a watch runs on, or last ran on; None where none is noted."""
    row = one_row(db, NEWEST_WIND, [watch_uid])
    return row["uid"] if row else None


def chosen(db: Database) -> dict[str, datetime]:
    """By watch the round chosen for its next winding; a watch wound since has none."""
    rows = all_rows(db, "SELECT watch_uid, wind_uid, round_utc FROM chosen_round WHERE voided_by IS NULL")
    return {
        row["watch_uid"]: from_text(row["round_utc"])
        for row in rows
        if newest_wind(db, row["watch_uid"]) == row["wind_uid"]
    }


def standing_choice(db: Database, watch_uid: str) -> str | None:
    """The uid of what was last chosen for a watch, whether it still holds or not; None if nothing was."""
    row = one_row(db, "SELECT uid FROM chosen_round WHERE watch_uid = ? AND voided_by IS NULL", [watch_uid])
    return row["uid"] if row else None
