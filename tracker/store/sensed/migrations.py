"""Bringing sensors.db to the present schema, and opening it."""

from pathlib import Path

from sqlite_utils import Database, Migrations

from tracker.store.sensed.schema import FIRST
from tracker.store.store import Store

FILE_NAME = "sensors.db"
SENSED = Migrations("sensed")


@SENSED()
def s0001_heard(db: Database) -> None:
    """Readings, spans, stops, turns; what was rejected; how the listener fares."""
    for statement in FIRST.split(";\n"):
        db.execute(statement)


def open_sensed(folder: Path) -> Store:
    """Open sensors.db in a collection's folder, made or upgraded where it has to be.

    Raises:
        Unavailable: it can't be opened, is no database, or was written by a newer program.
    """
    store = Store(folder / FILE_NAME, migrations=SENSED)
    store.prepare()
    return store
