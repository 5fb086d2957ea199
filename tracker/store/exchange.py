"""Whole tables out of a file and into a new one, for whoever takes a collection along: what goes, what stays, in which order."""

import sqlite3
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Literal, NamedTuple

from sqlite_utils import Database, Migrations

from tracker.store.migrations import MIGRATIONS, names
from tracker.store.sensed.migrations import SENSED
from tracker.store.store import connect

Kind = Literal["text", "integer", "real", "blob"]
Value = str | int | float | bytes | None
Row = tuple[Value, ...]

FILES: Mapping[str, Migrations] = {"going.db": MIGRATIONS, "sensors.db": SENSED}

TAKEN: Mapping[str, Sequence[str]] = {
    "going.db": (
        "person", "watch", "winding", "sighting", "wear", "on_winder", "service", "service_part", "timing_reading", "bench_test",
        "bench_sign", "barrel", "attachment", "portrait", "sensor", "sensor_watch", "sensor_answer", "chosen_round", "absence",
        "cue", "cue_step", "reminder", "snooze", "setting", "command_log",
    ),
    "sensors.db": ("sensed", "reading", "going_span", "sensor_stop", "unlike_stamp", "turn_count"),
}  # fmt: skip
"""What is true of a collection."""

LEFT: Mapping[str, Mapping[str, str]] = {
    "going.db": {
        "_sqlite_migrations": "it is named beside the tables",
        "estimate": "it is worked out again",
        "secret": "it is secret",
        "channel_address": "it is secret",
        "channel": "its address is secret; set it up again",
        "channel_rest": "it is of a channel",
        "delivery": "it is of a channel",
        "session": "it is a log-in",
        "wrong_try": "it is of log-ins",
        "token": "its secret is not kept; make a new one",
    },
    "sensors.db": {
        "_sqlite_migrations": "it is named beside the tables",
        "heard_topic": "it is of the moment",
        "rejected_message": "it is of the moment",
        "listener": "it is of the moment",
        "subscribed": "it is of the moment",
    },
}
"""What stays behind, and why."""

BLANK = {("person", "secret_uid")}
"""Columns that point at what is secret: empty on the way."""


class Column(NamedTuple):
    """A column: its name, what it holds, whether it may be empty, and the table whose rows it names, if any."""

    name: str
    kind: Kind
    optional: bool
    names_row_of: str | None


class Table(NamedTuple):
    """A table as it is taken along; `key` are the columns that tell its rows apart, none where all together do."""

    name: str
    columns: tuple[Column, ...]
    key: tuple[str, ...]


class Refused(Exception):
    """SQLite takes a row of this table not (its number from 0, or None where the tables do not fit each other)."""

    def __init__(self, table: str, number: int | None, why: str) -> None:
        super().__init__(table, number, why)
        self.table, self.number, self.why = table, number, why


@contextmanager
def at_one_moment(path: Path) -> Iterator[Database]:
    """Read a file as it stands now, however much is written to it meanwhile."""
    with closing(sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True, isolation_level=None)) as conn:
        conn.execute("BEGIN")
        yield Database(conn, recursive_triggers=False, execute_plugins=False)


def tables(db: Database, file: str) -> list[Table]:
    """The tables of this file that are taken along, as they are now."""
    there = set(db.table_names())
    return [_table(db, name) for name in TAKEN[file] if name in there]


def _table(db: Database, name: str) -> Table:
    told = db.table(name)
    others = {each.column: each.other_table for each in told.foreign_keys}
    keys = [key for key in told.pks if key != "rowid"]
    found = tuple(
        Column(
            each.name,
            _kind(each.type),
            optional=(not each.notnull and not each.is_pk) or (name, each.name) in BLANK,
            names_row_of=None if (name, each.name) in BLANK else others.get(each.name),
        )
        for each in told.columns
    )
    return Table(name, found, tuple(keys))


def _kind(declared: str) -> Kind:
    kinds: dict[str, Kind] = {"INTEGER": "integer", "REAL": "real", "BLOB": "blob"}
    return kinds.get(declared.upper(), "text")


def rows(db: Database, table: Table) -> Iterator[Row]:
    """Every row, in the order of its key."""
    order = ", ".join(f'"{name}"' for name in table.key or [column.name for column in table.columns])
    chosen = ", ".join(
        f'NULL AS "{each.name}"' if (table.name, each.name) in BLANK else f'"{each.name}"' for each in table.columns
    )
    yield from db.execute(f'SELECT {chosen} FROM "{table.name}" ORDER BY {order}')  # noqa: S608 -- its own names


def steps(db: Database, file: str) -> list[str]:
    """The names of the schema steps that the file has had."""
    return sorted(each.name for each in FILES[file].applied(db))


def unknown_steps(file: str, named: Iterable[str]) -> list[str]:
    """Steps that this program does not know: a newer one wrote them."""
    return sorted({*named} - {*names(FILES[file])})


def begin(path: Path, named: Sequence[str]) -> None:
    """Make a new file of the schema that these steps give."""
    migrations = FILES[path.name]
    later = [name for name in names(FILES[path.name]) if name not in named]
    with closing(connect(path)) as conn:
        db = Database(conn, recursive_triggers=False, execute_plugins=False)
        migrations.apply(db, stop_before=later[0] if later else None)


@contextmanager
def opened(path: Path) -> Iterator[Database]:
    """A file that is being filled."""
    with closing(connect(path)) as conn:
        yield Database(conn, recursive_triggers=False, execute_plugins=False)


def fill(db: Database, given: Callable[[Table], Iterable[Row]], found: Sequence[Table]) -> dict[str, int]:
    """Fill these tables of a new file with the rows given for each, all or none; returns how many each got.

    Raises:
        Refused: a row breaks a rule of its table, or names a row that is not there.
    """
    conn, counts = db.conn, dict[str, int]()
    conn.execute("BEGIN IMMEDIATE")
    try:
        conn.execute("PRAGMA defer_foreign_keys = ON")
        for table in found:
            conn.execute(f'DELETE FROM "{table.name}"')  # noqa: S608 -- its own names
            counts[table.name] = _insert(conn, table, given(table))
        _refuse_loose(conn)
        conn.execute("COMMIT")
    except BaseException:
        conn.execute("ROLLBACK")
        raise
    return counts


def _refuse_loose(conn: sqlite3.Connection) -> None:
    for table, _, other, _ in conn.execute("PRAGMA foreign_key_check"):
        raise Refused(table, None, f"it names a row of {other} that is not there")


def _insert(conn: sqlite3.Connection, table: Table, given: Iterable[Row]) -> int:
    columns, marks = ", ".join(f'"{each.name}"' for each in table.columns), ", ".join("?" for _ in table.columns)
    count = 0
    for row in given:
        try:
            conn.execute(f'INSERT INTO "{table.name}" ({columns}) VALUES ({marks})', row)  # noqa: S608 -- its own names
        except sqlite3.IntegrityError as error:
            raise Refused(table.name, count, str(error)) from error
        count += 1
    return count
