"""Rows that SQLite takes and that still can't be: what `going check` asks beside SQLite's own checks."""

from sqlite_utils import Database

from tracker.store.rows import all_rows

_REMINDERS = {
    # A last call or a look ends with a wind-by or a stop, which may become known to be earlier than it was told.
    "reminder that ends before it is due": (
        "SELECT uid FROM reminder WHERE useful_until_utc < due_utc AND kind NOT IN ('last call', 'look')"
    ),
    "delivery that was sent at no time": "SELECT uid FROM delivery WHERE state = 'sent' AND sent_at_utc IS NULL",
    "open reminder of a watch that was taken out": (
        "SELECT reminder.uid FROM reminder JOIN watch ON watch.uid = subject_uid "
        "WHERE state IN ('planned', 'due') AND watch.voided_by IS NOT NULL"
    ),
    "stay on a sensor that begins before another on it has ended": (
        "SELECT b.uid FROM sensor_watch a JOIN sensor_watch b ON a.sensor_uid = b.sensor_uid AND a.uid != b.uid "
        "WHERE a.voided_by IS NULL AND b.voided_by IS NULL AND b.from_utc >= a.from_utc "
        "AND b.from_utc < ifnull(a.to_utc, '9999') AND NOT (a.from_utc = b.from_utc AND a.uid > b.uid)"
    ),
    "change that another undid and that does not stand in the record": (
        "SELECT uid FROM command_log a WHERE undone_by IS NOT NULL "
        "AND NOT EXISTS (SELECT 1 FROM command_log b WHERE b.uid = a.undone_by)"
    ),
}

_HEARD = {
    "span that ends before it begins": "SELECT sensor, from_s FROM going_span WHERE from_s > to_s",
    "stop whose bracket is turned round": "SELECT sensor, after_s FROM sensor_stop WHERE after_s > before_s",
    "count of turns below nothing": (
        "SELECT sensor, hour FROM turn_count WHERE min(clockwise, anticlockwise, not_known, heard_s) < 0"
    ),
}


def odd_rows(db: Database) -> dict[str, int]:
    """Of going.db: what can't be, by what it is, with how many there are; nothing where all is in order."""
    return _counted(db, _REMINDERS)


def odd_heard(db: Database) -> dict[str, int]:
    """As `odd_rows`, of sensors.db."""
    return _counted(db, _HEARD)


def _counted(db: Database, questions: dict[str, str]) -> dict[str, int]:
    found = {what: len(all_rows(db, sql)) for what, sql in questions.items()}
    return {what: count for what, count in found.items() if count}
