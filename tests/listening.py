"""Rest sensors under watches, and what they heard, as the listener would have kept it."""

from collections.abc import Iterable
from contextlib import closing
from datetime import datetime

from tracker.store.moments import to_text
from tracker.store.sensed.migrations import open_sensed
from tracker.store.store import Store
from tracker.uids import new_uid, uid_of

TRAY = uid_of("tray")

Span = tuple[datetime, datetime, str]
"""Heard going from the first to the second moment; then *stopped* (silent a minute later), *unknown* or *open*."""


def lies(store: Store, watch_uid: str, since: datetime, until: datetime | None = None, sensor_uid: str = TRAY) -> None:
    """The watch lies on the sensor, which is set up if there is none."""
    with store.change() as db:
        db.execute(
            "INSERT OR IGNORE INTO sensor (uid, name, kind, topic, written, reports, expected_s, added_utc) "
            "VALUES (?, ?, 'rest', ?, 'plain', 'boolean', 60, ?)",
            [sensor_uid, sensor_uid[:8], f"house/{sensor_uid[:8]}", to_text(since)],
        )
        db.execute(
            "INSERT INTO sensor_watch (uid, sensor_uid, watch_uid, from_utc, to_utc) VALUES (?, ?, ?, ?, ?)",
            [new_uid(since), sensor_uid, watch_uid, to_text(since), until and to_text(until)],
        )
        db.execute("UPDATE watch SET log_counter = log_counter + 1 WHERE uid = ?", [watch_uid])


def hears(store: Store, spans: Iterable[Span], sensor_uid: str = TRAY, *, anew: bool = True) -> None:
    """The sensor heard this and no more; `anew` that it counts as a change."""
    with closing(open_sensed(store.path.parent)) as file, file.change() as db:
        db.execute("INSERT OR IGNORE INTO sensed (sensor_uid) VALUES (?)", [sensor_uid])
        db.execute("UPDATE sensed SET counter = counter + ? WHERE sensor_uid = ?", [int(anew), sensor_uid])
        (number,) = db.execute("SELECT number FROM sensed WHERE sensor_uid = ?", [sensor_uid]).fetchone()
        db.execute("DELETE FROM going_span WHERE sensor = ?", [number])
        db.execute("DELETE FROM sensor_stop WHERE sensor = ?", [number])
        for start, end, ended in spans:
            at, to = start.timestamp(), end.timestamp()
            db.execute("INSERT INTO going_span VALUES (?, ?, ?, 'going', ?, 1)", [number, at, to, ended])
            if ended == "stopped":
                db.execute("INSERT INTO sensor_stop VALUES (?, ?, ?, 1)", [number, to, to + 60])


def beats(store: Store, counts: Iterable[tuple[datetime, float]], *, per_hour: float, sensor_uid: str = TRAY) -> None:
    """The sensor counts beats, a minute at a time, of a watch with so many an hour, and this is what it counted."""
    with store.change() as db:
        db.execute(
            "UPDATE sensor SET reports = 'beats', vibrations_per_hour = ?, tolerance = 0.05, window_s = 60 WHERE uid = ?",
            [per_hour, sensor_uid],
        )
    with closing(open_sensed(store.path.parent)) as file, file.change() as db:
        (number,) = db.execute("SELECT number FROM sensed WHERE sensor_uid = ?", [sensor_uid]).fetchone()
        for at, count in counts:
            db.execute("INSERT INTO reading VALUES (?, ?, ?, 1)", [number, at.timestamp(), count])
            db.execute("UPDATE sensed SET newest_s = ? WHERE number = ?", [at.timestamp(), number])
