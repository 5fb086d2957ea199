"""Which rest sensors lay under which watch, and what its owner said of what they told, as rows."""

from collections import defaultdict
from collections.abc import Collection
from datetime import datetime
from pathlib import Path
from typing import Literal, NamedTuple

from sqlite_utils import Database

from tracker.core.heard import Answered
from tracker.store.moments import from_text, from_text_or_none
from tracker.store.rows import all_rows, one_row

Kind = Literal["rest", "winder"]


class Seat(NamedTuple):
    """A watch lay on a rest sensor, or sat on a winder channel, from a moment to another, None if it is there still."""

    sensor_uid: str
    since: datetime
    until: datetime | None


def seats(db: Database, watch_uids: Collection[str], kind: Kind = "rest") -> dict[str, list[Seat]]:
    """Where these watches lay (or sat), each in order of time; those that lay on none are left out."""
    marks = ", ".join("?" for _ in watch_uids)
    rows = all_rows(
        db,
        "SELECT watch_uid, sensor_uid, from_utc, to_utc FROM sensor_watch JOIN sensor ON sensor.uid = sensor_uid "  # noqa: S608 -- question marks
        f"WHERE sensor_watch.voided_by IS NULL AND sensor.kind = ? AND watch_uid IN ({marks}) ORDER BY from_utc",
        [kind, *watch_uids],
    )
    found: dict[str, list[Seat]] = defaultdict(list)
    for row in rows:
        seat = Seat(row["sensor_uid"], from_text(row["from_utc"]), from_text_or_none(row["to_utc"]))
        found[row["watch_uid"]].append(seat)
    return found


def ever_seated(db: Database) -> dict[str, list[str]]:
    """The sensors on which each watch ever was said to lie, also where that was taken back."""
    found: dict[str, list[str]] = defaultdict(list)
    for row in all_rows(db, "SELECT DISTINCT watch_uid, sensor_uid FROM sensor_watch"):
        found[row["watch_uid"]].append(row["sensor_uid"])
    return found


def answers(db: Database, watch_uids: Collection[str]) -> dict[str, list[Answered]]:
    """What was said of what sensors told of these watches, the newest last."""
    marks = ", ".join("?" for _ in watch_uids)
    rows = all_rows(
        db,
        "SELECT watch_uid, sensor_uid, at_utc, word, of_uid FROM sensor_answer "  # noqa: S608 -- question marks
        f"WHERE voided_by IS NULL AND watch_uid IN ({marks}) ORDER BY noted_at_utc, uid",
        list(watch_uids),
    )
    found: dict[str, list[Answered]] = defaultdict(list)
    for row in rows:
        found[row["watch_uid"]].append(
            Answered(
                sensor_uid=row["sensor_uid"],
                at=from_text(row["at_utc"]),
                word=row["word"],
                entry_uid=row["of_uid"],
            )
        )
    return found


def folder_of(db: Database) -> Path | None:
    """The folder that this connection's file lies in."""
    file = next(row["file"] for row in all_rows(db, "PRAGMA database_list") if row["name"] == "main")
    return Path(file).parent if file else None


def knows_sensor(db: Database, uid: str) -> bool:
    """Whether there is such a sensor."""
    return one_row(db, "SELECT 1 FROM sensor WHERE uid = ? AND voided_by IS NULL", [uid]) is not None
