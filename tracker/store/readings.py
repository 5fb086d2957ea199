"""Timing readings as rows and as the core's values."""

from collections import defaultdict
from collections.abc import Collection
from typing import Any

from sqlite_utils import Database

from tracker.core.timing import LIFT_ANGLE_DEG, Reading, with_lift
from tracker.store.moments import from_text
from tracker.store.rows import all_rows
from tracker.store.schema import LOG_COLUMNS

TIMING_READINGS = f"""
ALTER TABLE watch ADD COLUMN lift_angle_deg REAL CHECK (lift_angle_deg > 0);

CREATE TABLE timing_reading ({LOG_COLUMNS},
    position TEXT NOT NULL CHECK (position IN ('CH', 'CB', '3H', '6H', '9H', '12H')),
    occasion TEXT NOT NULL CHECK (occasion IN ('before service', 'after service', 'in between')),
    since_wind_min REAL CHECK (since_wind_min >= 0),
    rate_s_per_day REAL,
    amplitude_deg REAL CHECK (amplitude_deg > 0),
    beat_error_ms REAL,
    lift_angle_deg REAL CHECK (lift_angle_deg > 0),
    vibrations_per_hour INTEGER CHECK (vibrations_per_hour > 0),
    temperature_c REAL,
    programme_day INTEGER CHECK (programme_day BETWEEN 1 AND 15)
);
CREATE INDEX timing_reading_watch ON timing_reading(watch_uid, at_utc);
"""


def readings(db: Database, watch_uids: Collection[str]) -> dict[str, list[Reading]]:
    """The readings of these watches that were not voided, oldest first.

    An amplitude read without a lift angle follows the one that the register has by now.
    """
    marks = ", ".join("?" for _ in watch_uids)
    rows = all_rows(
        db,
        "SELECT timing_reading.*, watch.lift_angle_deg AS registered_deg FROM timing_reading "  # noqa: S608 -- only marks
        f"JOIN watch ON watch.uid = watch_uid WHERE watch_uid IN ({marks}) AND timing_reading.voided_by IS NULL "
        "ORDER BY at_utc, timing_reading.uid",
        list(watch_uids),
    )
    found: dict[str, list[Reading]] = defaultdict(list)
    for row in rows:
        found[row["watch_uid"]].append(with_lift(_reading(row), row["registered_deg"]))
    return found


def _reading(row: dict[str, Any]) -> Reading:
    own = {name: row[name] for name in ("uid", "position", "occasion", "since_wind_min", "rate_s_per_day")}
    own |= {name: row[name] for name in ("amplitude_deg", "beat_error_ms", "temperature_c", "programme_day")}
    return Reading(
        **own,
        at=from_text(row["at_utc"]),
        lift_angle_deg=row["lift_angle_deg"] or LIFT_ANGLE_DEG,
        lift_assumed=row["lift_angle_deg"] is None,
        vibrations_per_hour=row["vibrations_per_hour"],
    )
