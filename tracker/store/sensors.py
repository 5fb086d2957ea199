"""Sensors as they were set up, and which watch lay on which, as rows of going.db."""

from collections.abc import Callable
from typing import Any

from sqlite_utils import Database

from sensors import winder
from sensors.counter import Counter
from sensors.kinds import Beats, Boolean, Kind, Level
from sensors.payload import ANTICLOCKWISE_WORDS, CLOCKWISE_WORDS, GOING_WORDS, STOPPED_WORDS, Form, Gives
from sensors.pointer import tokens
from sensors.sensor import Assignment, Sensor
from sensors.winder import Increments, Power, Turning
from tracker.store.moments import from_text
from tracker.store.rows import all_rows, one_row

Row = dict[str, Any]

VPH_UNKNOWN = 21_600.0
"""Beats an hour where neither sensor nor watch has any: of all counts the commonest (common practice, no source)."""


def sensors(db: Database, *, archived: bool = False) -> list[Sensor]:
    """The sensors in use by name; with `archived` those put away."""
    condition = "IS NOT NULL" if archived else "IS NULL"
    return [
        sensor_from_row(row)
        for row in all_rows(db, f"{_SELECT} AND archived_utc {condition} ORDER BY name COLLATE NOCASE")
    ]


def sensor(db: Database, uid: str) -> Sensor | None:
    """One sensor, put away or not."""
    row = one_row(db, f"{_SELECT} AND sensor.uid = ?", [uid])
    return None if row is None else sensor_from_row(row)


def sensor_row(db: Database, uid: str) -> Row | None:
    """Its row, for a form that edits it."""
    return one_row(db, "SELECT * FROM sensor WHERE uid = ? AND voided_by IS NULL", [uid])


def sensor_named(db: Database, name: str) -> Sensor | None:
    """The sensor of this very name, whatever its capitals."""
    found = [each for each in [*sensors(db), *sensors(db, archived=True)] if each.name.casefold() == name.casefold()]
    return found[0] if found else None


def assignments(db: Database, *, sensor_uid: str | None = None, watch_uid: str | None = None) -> list[Assignment]:
    """Which watch lay on which sensor, oldest first: of one sensor, of one watch, or of all."""
    rows = all_rows(
        db,
        "SELECT * FROM sensor_watch WHERE voided_by IS NULL AND (?1 IS NULL OR sensor_uid = ?1) "
        "AND (?2 IS NULL OR watch_uid = ?2) ORDER BY from_utc, uid",
        [sensor_uid, watch_uid],
    )
    return [
        Assignment(
            uid=row["uid"],
            sensor_uid=row["sensor_uid"],
            watch_uid=row["watch_uid"],
            from_s=from_text(row["from_utc"]).timestamp(),
            to_s=from_text(row["to_utc"]).timestamp() if row["to_utc"] else None,
            version=row["version"],
        )
        for row in rows
    ]


def lies_on(db: Database, watch_uid: str) -> list[tuple[str, str]]:
    """The sensors in use that a watch lies on now: name of the row, and what its owner calls it."""
    rows = all_rows(
        db,
        "SELECT sensor.uid, name FROM sensor_watch JOIN sensor ON sensor.uid = sensor_uid WHERE watch_uid = ? "
        "AND to_utc IS NULL AND sensor_watch.voided_by IS NULL AND sensor.voided_by IS NULL AND archived_utc IS NULL "
        "ORDER BY name COLLATE NOCASE",
        [watch_uid],
    )
    return [(row["uid"], row["name"]) for row in rows]


def overlap(db: Database) -> bool:
    """Whether two watches are noted to lie on one sensor at a time, or one watch on two sensors of a kind."""
    return (
        one_row(
            db,
            """
            SELECT 1 FROM sensor_watch AS one JOIN sensor AS its ON its.uid = one.sensor_uid
            JOIN sensor_watch AS other ON other.rowid > one.rowid JOIN sensor AS others ON others.uid = other.sensor_uid
            WHERE one.voided_by IS NULL AND other.voided_by IS NULL
                AND (one.sensor_uid = other.sensor_uid OR one.watch_uid = other.watch_uid AND its.kind = others.kind)
                AND (one.to_utc IS NULL OR other.from_utc < one.to_utc)
                AND (other.to_utc IS NULL OR one.from_utc < other.to_utc)
            """,
        )
        is not None
    )


def changes(db: Database) -> int:
    """A count that rises with every change of a set-up or of who lies where, or of a watch's vibrations."""
    (count,) = db.execute(
        "SELECT (SELECT coalesce(sum(version), 0) + count(voided_by) FROM sensor) "
        "+ (SELECT coalesce(sum(version), 0) + count(voided_by) FROM sensor_watch) "
        "+ (SELECT coalesce(sum(version), 0) FROM watch)"
    ).fetchone()
    return int(count)


_SELECT = """
    SELECT sensor.*, (
        SELECT watch.vibrations_per_hour FROM sensor_watch JOIN watch ON watch.uid = watch_uid
        WHERE sensor_uid = sensor.uid AND sensor_watch.voided_by IS NULL AND to_utc IS NULL
        ORDER BY from_utc DESC LIMIT 1
    ) AS watch_vph FROM sensor WHERE sensor.voided_by IS NULL"""


def sensor_from_row(row: Row) -> Sensor:
    """The set-up of a row; beats are those of the watch that lies there where the row has none of its own."""
    return Sensor(
        uid=row["uid"],
        name=row["name"],
        kind=row["kind"],
        topic=row["topic"],
        form=form_from_row(row),
        reports=reports_from_row(row),
        expected_s=row["expected_s"],
        confirm_readings=row["confirm_readings"],
        confirm_s=row["confirm_s"],
        archived=row["archived_utc"] is not None,
        version=row["version"],
    )


def form_from_row(row: Row) -> Form:
    """How its messages are read."""
    return Form(
        written=row["written"],
        gives=_gives(row),
        value_at=tokens(row["value_at"]),
        time_at=None if row["time_at"] is None else tokens(row["time_at"]),
        record=row["record"],
        going_words=_words(row["going_words"], GOING_WORDS),
        stopped_words=_words(row["stopped_words"], STOPPED_WORDS),
        direction_at=None if row["direction_at"] is None else tokens(row["direction_at"]),
        clockwise_words=_words(row["clockwise_words"], CLOCKWISE_WORDS),
        anticlockwise_words=_words(row["anticlockwise_words"], ANTICLOCKWISE_WORDS),
    )


def _gives(row: Row) -> Gives:
    if row["reports"] == "turning" and row["direction"] == "word" and row["direction_at"] is None:
        return "turning"
    return "boolean" if row["reports"] in {"boolean", "turning"} else "number"


def _words(stored: str, usual: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(word.strip() for word in stored.split(",") if word.strip()) or usual


def reports_from_row(row: Row) -> Kind | winder.Reports:
    """What its readings tell."""
    return _REPORTS[row["reports"]](row)


_REPORTS: dict[str, Callable[[Row], Kind | winder.Reports]] = {
    "boolean": lambda _: Boolean(),
    "level": lambda row: Level(row["upper"], row["lower"]),
    "beats": lambda row: Beats(
        row["vibrations_per_hour"] or row["watch_vph"] or VPH_UNKNOWN, row["tolerance"], row["window_s"]
    ),
    "counter": lambda row: Counter(
        row["direction"], row["per_turn"] or 1.0, row["wraps_at"], bool(row["restarts_at_zero"])
    ),
    "increments": lambda row: Increments(row["direction"], row["per_turn"] or 1.0),
    "turning": lambda row: Turning(row["turns_per_min"], row["direction"]),
    "power": lambda row: Power(row["above_w"], row["turns_per_min"], row["direction"]),
}
