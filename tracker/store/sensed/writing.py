"""What is written to sensors.db: each function is part of one change."""

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from sqlite_utils import Database

from sensors.rest import Span, Stop, Unlike
from sensors.turns import Hour
from tracker.store.rows import all_rows, one_row
from tracker.store.sensed.reading import Heard, Rejection, Topic

REJECTED_KEPT = 1000

Found = Span | Stop | Unlike | Hour


class Kept(NamedTuple):
    """What is known of a sensor from before: its number, and what is settled up to which stamp.

    `upto_s` is None before anything is. `set_up`, `read_as` and `handed_over` tell how the sensor was set up when this was written.
    """

    number: int
    set_up: str
    read_as: str
    handed_over: str
    upto_s: float | None
    course: str
    newest_s: float | None


def known(db: Database, sensor_uid: str) -> Kept | None:
    """What is known of a sensor, if it was ever heard."""
    row = one_row(db, f"SELECT {', '.join(Kept._fields)} FROM sensed WHERE sensor_uid = ?", [sensor_uid])  # noqa: S608 -- its own fields
    return None if row is None else Kept(**row)


def numbered(db: Database, sensor_uid: str) -> Kept:
    """What is known of a sensor; of one that is new, its number."""
    found = known(db, sensor_uid)
    if found is None:
        db.execute("INSERT INTO sensed (sensor_uid) VALUES (?)", [sensor_uid])
        return numbered(db, sensor_uid)
    return found


def keep_mark(db: Database, mark: Kept) -> None:
    """Keep up to where all is settled, and how the sensor was set up."""
    db.execute(
        "UPDATE sensed SET set_up = ?, read_as = ?, handed_over = ?, upto_s = ?, course = ?, newest_s = ? WHERE number = ?",
        [*mark[1:], mark.number],
    )


def add_readings(db: Database, rows: Sequence[tuple[int, float, float, bool]]) -> None:
    """Keep readings (number of the sensor, stamp, value, stamped); those that are there already stay as they are."""
    db.conn.executemany("INSERT OR IGNORE INTO reading (sensor, at_s, value, stamped) VALUES (?, ?, ?, ?)", rows)


def has_reading(db: Database, number: int, at_s: float, value: float) -> bool:
    """Whether this very reading was kept before."""
    return (
        one_row(db, "SELECT 1 FROM reading WHERE sensor = ? AND at_s = ? AND value = ?", [number, at_s, value])
        is not None
    )


def readings_after(db: Database, number: int, at_s: float) -> list[tuple[float, float]]:
    """Stamps and values later than a moment, in order."""
    rows = db.execute(
        "SELECT at_s, value FROM reading WHERE sensor = ? AND at_s > ? ORDER BY at_s, value", [number, at_s]
    )
    return rows.fetchall()


def oldest_reading_s(db: Database, number: int) -> float | None:
    """The stamp of the oldest reading that is still kept."""
    row = one_row(db, "SELECT min(at_s) AS oldest_s FROM reading WHERE sensor = ?", [number])
    return None if row is None else row["oldest_s"]


def unsettled(db: Database, number: int) -> list[Found]:
    """What was found of a sensor after its mark, the span or hour still open included."""
    spans = db.execute("SELECT state, from_s, to_s, ended FROM going_span WHERE sensor = ? AND settled = 0", [number])
    stops = db.execute("SELECT after_s, before_s FROM sensor_stop WHERE sensor = ? AND settled = 0", [number])
    stamps = db.execute("SELECT at_s FROM unlike_stamp WHERE sensor = ? AND settled = 0", [number])
    hours = db.execute(
        "SELECT hour, clockwise, anticlockwise, not_known, heard_s, bridged_s FROM turn_count "
        "WHERE sensor = ? AND settled = 0",
        [number],
    )
    return [
        *(Span(*row) for row in spans.fetchall()),
        *(Stop(*row) for row in stops.fetchall()),
        *(Unlike(at_s, ()) for (at_s,) in stamps.fetchall()),
        *(Hour(*row) for row in hours.fetchall()),
    ]


def rewrite(db: Database, number: int, settled: Iterable[Found], unsettled: Iterable[Found]) -> None:
    """Put what was found anew in place of what was not settled before."""
    for table in ("going_span", "sensor_stop", "unlike_stamp", "turn_count"):
        db.execute(f"DELETE FROM {table} WHERE sensor = ? AND settled = 0", [number])  # noqa: S608 -- names above
    for found in settled:
        _insert(db, number, found, settled=True)
    for found in unsettled:
        _insert(db, number, found, settled=False)


def _insert(db: Database, number: int, found: Found, *, settled: bool) -> None:
    match found:
        case Span():
            db.execute(
                "INSERT INTO going_span (sensor, state, from_s, to_s, ended, settled) VALUES (?, ?, ?, ?, ?, ?)",
                [number, *found, settled],
            )
        case Stop():
            db.execute(
                "INSERT INTO sensor_stop (sensor, after_s, before_s, settled) VALUES (?, ?, ?, ?)",
                [number, *found, settled],
            )
        case Unlike(at_s):
            db.execute("INSERT INTO unlike_stamp (sensor, at_s, settled) VALUES (?, ?, ?)", [number, at_s, settled])
        case Hour():
            db.execute(
                "INSERT OR REPLACE INTO turn_count "
                "(sensor, hour, clockwise, anticlockwise, not_known, heard_s, bridged_s, settled) "
                "VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
                [number, *found, settled],
            )


def grow(db: Database, number: int, found: Span | Hour) -> None:
    """Carry on the span or the hour that is open."""
    if isinstance(found, Hour):
        _insert(db, number, found, settled=False)
    else:
        db.execute(
            "UPDATE going_span SET to_s = ? WHERE sensor = ? AND settled = 0 AND ended = 'open'", [found.to_s, number]
        )


def raise_counter(db: Database, number: int) -> None:
    """Tell others that what was found must be looked at anew."""
    db.execute("UPDATE sensed SET counter = counter + 1 WHERE number = ?", [number])


def close_off(db: Database, number: int) -> None:
    """Settle all that was found, as it stands; what was open has no known end."""
    db.execute("UPDATE going_span SET ended = 'unknown' WHERE sensor = ? AND settled = 0 AND ended = 'open'", [number])
    for table in ("going_span", "sensor_stop", "unlike_stamp", "turn_count"):
        db.execute(f"UPDATE {table} SET settled = 1 WHERE sensor = ? AND settled = 0", [number])  # noqa: S608 -- names above


def forget_found(db: Database, number: int, from_s: float) -> None:
    """Drop the spans and stops found from a moment on.

    A span that reaches over it ends with the last reading before; how the last span ended is not known any more.
    """
    db.execute("DELETE FROM going_span WHERE sensor = ? AND from_s >= ?", [number, from_s])
    db.execute(
        "UPDATE going_span SET ended = 'unknown', settled = 1, to_s = max(from_s, coalesce("
        "(SELECT max(at_s) FROM reading WHERE reading.sensor = going_span.sensor AND at_s < ?), from_s)) "
        "WHERE sensor = ? AND to_s >= ?",
        [from_s, number, from_s],
    )
    db.execute(
        "UPDATE going_span SET ended = 'unknown' WHERE sensor = ?1 AND from_s = "
        "(SELECT max(from_s) FROM going_span WHERE sensor = ?1)",
        [number],
    )
    db.execute("DELETE FROM sensor_stop WHERE sensor = ? AND before_s >= ?", [number, from_s])
    db.execute("DELETE FROM unlike_stamp WHERE sensor = ? AND at_s >= ?", [number, from_s])


def count_heard(db: Database, number: int, heard: Heard) -> None:
    """Note the last message of a sensor, and add to its counts."""
    db.execute(
        "UPDATE sensed SET arrived_s = ?, topic = ?, payload = ?, retained = ?, newest_s = ?, "
        "readings = readings + ?, rejected = rejected + ?, queued = queued + ? WHERE number = ?",
        [
            heard.arrived_s,
            heard.topic,
            heard.payload,
            heard.retained,
            heard.newest_s,
            heard.readings,
            heard.rejected,
            heard.queued,
            number,
        ],
    )


def add_topics(db: Database, topics: Iterable[Topic]) -> None:
    """Add to what was heard of topics."""
    db.conn.executemany(
        "INSERT INTO heard_topic (topic, messages, arrived_s, payload, known) VALUES (?, ?, ?, ?, ?) "
        "ON CONFLICT (topic) DO UPDATE SET messages = messages + excluded.messages, arrived_s = excluded.arrived_s, "
        "payload = excluded.payload, known = excluded.known",
        topics,
    )


def add_rejected(db: Database, rejected: Iterable[Rejection]) -> None:
    """Keep rejected messages; only the last thousand stay."""
    db.conn.executemany(
        "INSERT INTO rejected_message (sensor, arrived_s, topic, why, what, payload) "
        "VALUES ((SELECT number FROM sensed WHERE sensor_uid = ?), ?, ?, ?, ?, ?)",
        [
            (each.sensor_uid, each.arrived_s, each.topic, each.reason.why, each.reason.what, each.payload)
            for each in rejected
        ],
    )
    db.execute(
        "DELETE FROM rejected_message WHERE number <= (SELECT max(number) FROM rejected_message) - ?", [REJECTED_KEPT]
    )


def count_messages(db: Database, messages: int, arrived_s: float) -> None:
    """Add to what the listener has heard."""
    db.execute("UPDATE listener SET messages = messages + ?, arrived_s = ?", [messages, arrived_s])


def set_condition(db: Database, state: str, since_s: float, why: str, protocol: str) -> None:
    """Note how the listener fares."""
    db.execute(
        "INSERT INTO listener (only, state, since_s, why, protocol) VALUES (1, ?, ?, ?, ?) ON CONFLICT (only) DO UPDATE "
        "SET state = excluded.state, since_s = excluded.since_s, why = excluded.why, protocol = excluded.protocol",
        [state, since_s, why, protocol],
    )


def subscribed(db: Database) -> set[str]:
    """The topic filters that the broker knows of us, as far as we know."""
    return {row["topic_filter"] for row in all_rows(db, "SELECT topic_filter FROM subscribed")}


def set_subscribed(db: Database, topic_filters: Iterable[str]) -> None:
    """Note which topic filters the broker knows of us."""
    db.execute("DELETE FROM subscribed")
    db.conn.executemany("INSERT INTO subscribed (topic_filter) VALUES (?)", [(each,) for each in topic_filters])


def forget_readings(db: Database, before_s: float) -> None:
    """Drop readings older than a moment, except those after a sensor's mark: its spans are still worked out of them."""
    for row in all_rows(
        db, "SELECT number, min(upto_s, ?) AS until_s FROM sensed WHERE upto_s IS NOT NULL", [before_s]
    ):
        db.execute("DELETE FROM reading WHERE sensor = ? AND at_s < ?", [row["number"], row["until_s"]])
