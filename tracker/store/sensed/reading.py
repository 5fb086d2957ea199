"""What sensors told, read from sensors.db. Moments are seconds since 1970 in UTC."""

from collections.abc import Collection
from typing import Any, NamedTuple

from sqlite_utils import Database

from sensors.rest import Span, Stop
from sensors.turns import Hour
from sensors.unread import Unread
from tracker.store.rows import all_rows, one_row


class Raw(NamedTuple):
    """A reading as it was kept; `stamped` is false where its time is that of its arrival."""

    at_s: float
    value: float
    stamped: bool


class Rejection(NamedTuple):
    """A message that told nothing, and why; `sensor_uid` is None where no sensor is set up for its topic."""

    sensor_uid: str | None
    arrived_s: float
    topic: str
    reason: Unread
    payload: bytes


class Heard(NamedTuple):
    """What came from one sensor.

    The last message (its arrival, topic, beginning; whether it was one that the broker had retained); the stamp of the
    newest reading; how many readings were taken, messages rejected, and messages left out since they were queued
    somewhere and name no time.
    """

    sensor_uid: str
    arrived_s: float | None
    topic: str
    payload: bytes
    retained: bool
    newest_s: float | None
    readings: int
    rejected: int
    queued: int


class Topic(NamedTuple):
    """A topic that the listener heard; `known` if a sensor is set up for it."""

    topic: str
    messages: int
    arrived_s: float
    payload: bytes
    known: bool


class Condition(NamedTuple):
    """How the listener fares: *listening*, *away* (no broker, and why) or *stopped*; since when, its last message."""

    state: str
    since_s: float
    why: str
    protocol: str
    arrived_s: float | None
    messages: int


OF_SENSOR = "sensor = (SELECT number FROM sensed WHERE sensor_uid = ?)"


def readings(db: Database, sensor_uid: str, from_s: float, to_s: float) -> list[Raw]:
    """Raw readings of a sensor from a moment to another, both included, in order."""
    rows = db.execute(
        f"SELECT at_s, value, stamped FROM reading WHERE {OF_SENSOR} AND at_s BETWEEN ? AND ? ORDER BY at_s, value",  # noqa: S608 -- a constant
        [sensor_uid, from_s, to_s],
    )
    return [Raw(at_s, value, bool(stamped)) for at_s, value, stamped in rows.fetchall()]


def spans(db: Database, sensor_uid: str, from_s: float, to_s: float) -> list[Span]:
    """Spans of a rest sensor that touch a stretch of time, in order.

    The last may be *open*: it reaches to its last sure reading. If the sensor has been silent since for a gap, it is
    not known any more; `heard` tells the newest reading.
    """
    rows = db.execute(
        f"SELECT state, from_s, to_s, ended FROM going_span WHERE {OF_SENSOR} AND to_s >= ? AND from_s <= ? "  # noqa: S608 -- a constant
        "ORDER BY from_s, to_s",
        [sensor_uid, from_s, to_s],
    )
    return [Span(*row) for row in rows.fetchall()]


def stops(db: Database, sensor_uid: str, from_s: float, to_s: float) -> list[Stop]:
    """Brackets of stops of a rest sensor that touch a stretch of time, in order."""
    rows = db.execute(
        f"SELECT after_s, before_s FROM sensor_stop WHERE {OF_SENSOR} AND before_s >= ? AND after_s <= ? ORDER BY after_s",  # noqa: S608 -- a constant
        [sensor_uid, from_s, to_s],
    )
    return [Stop(*row) for row in rows.fetchall()]


def turns(db: Database, sensor_uid: str, from_s: float, to_s: float) -> list[Hour]:
    """Hours of a winder channel that touch a stretch of time, in order; hours of which nothing is known are left out."""
    rows = db.execute(
        "SELECT hour, clockwise, anticlockwise, not_known, heard_s, bridged_s FROM turn_count "  # noqa: S608 -- a constant
        f"WHERE {OF_SENSOR} AND (hour + 1) * 3600.0 > ? AND hour * 3600.0 <= ? ORDER BY hour",
        [sensor_uid, from_s, to_s],
    )
    return [Hour(*row) for row in rows.fetchall()]


def unlike(db: Database, sensor_uid: str, from_s: float, to_s: float) -> list[float]:
    """Stamps whose readings contradict each other: none of them counts."""
    rows = db.execute(
        f"SELECT at_s FROM unlike_stamp WHERE {OF_SENSOR} AND at_s BETWEEN ? AND ? ORDER BY at_s",  # noqa: S608 -- a constant
        [sensor_uid, from_s, to_s],
    )
    return [at_s for (at_s,) in rows.fetchall()]


def rejected(db: Database, sensor_uid: str | None = None, most: int = 1000) -> list[Rejection]:
    """Messages rejected, of one sensor or of all, the newest first; no more than the last thousand are kept."""
    rows = all_rows(
        db,
        "SELECT sensor_uid, rejected_message.arrived_s, rejected_message.topic, why, what, rejected_message.payload "
        "FROM rejected_message LEFT JOIN sensed ON sensed.number = sensor "
        "WHERE ? IS NULL OR sensor_uid = ? ORDER BY rejected_message.number DESC LIMIT ?",
        [sensor_uid, sensor_uid, most],
    )
    return [
        Rejection(row["sensor_uid"], row["arrived_s"], row["topic"], Unread(row["why"], row["what"]), row["payload"])
        for row in rows
    ]


def heard(db: Database) -> dict[str, Heard]:
    """What came from each sensor that was ever heard, by its uid."""
    rows = all_rows(db, f"SELECT {', '.join(Heard._fields)} FROM sensed")  # noqa: S608 -- its own fields
    return {row["sensor_uid"]: Heard(**row | {"retained": bool(row["retained"])}) for row in rows}


def topics(db: Database) -> list[Topic]:
    """Every topic that the listener heard, in order."""
    rows = all_rows(db, f"SELECT {', '.join(Topic._fields)} FROM heard_topic ORDER BY topic")  # noqa: S608 -- its own fields
    return [Topic(**row | {"known": bool(row["known"])}) for row in rows]


def health(db: Database) -> Condition | None:
    """How the listener fares, as it last wrote; None if it never ran. A listener that was killed still stands as it was."""
    row = one_row(db, f"SELECT {', '.join(Condition._fields)} FROM listener")  # noqa: S608 -- its own fields
    return None if row is None else Condition(**row)


def counter(db: Database, sensor_uid: str) -> int:
    """A number that rises whenever spans, stops or hours changed otherwise than by the open one growing."""
    row = one_row(db, "SELECT counter FROM sensed WHERE sensor_uid = ?", [sensor_uid])
    return 0 if row is None else int(row["counter"])


def counters(db: Database, sensor_uids: Collection[str]) -> dict[str, int]:
    """`counter` of several sensors at once; 0 for those never heard."""
    marks = ", ".join("?" for _ in sensor_uids)
    rows: list[dict[str, Any]] = all_rows(
        db,
        f"SELECT sensor_uid, counter FROM sensed WHERE sensor_uid IN ({marks})",  # noqa: S608 -- question marks
        list(sensor_uids),
    )
    return dict.fromkeys(sensor_uids, 0) | {row["sensor_uid"]: row["counter"] for row in rows}
