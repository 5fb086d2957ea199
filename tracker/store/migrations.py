"""Bringing a file to the present schema: lock, refuse a newer one, keep a copy, apply."""

import fcntl
import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from sqlite_utils import Database, Migrations

from tracker.errors import Unavailable
from tracker.store.accessschema import ACCESS
from tracker.store.barrelschema import BARRELS
from tracker.store.benchschema import BENCH_TESTS
from tracker.store.movedaddress import move_address
from tracker.store.portraits import PORTRAITS
from tracker.store.readings import TIMING_READINGS
from tracker.store.schema import (
    ABSENCES,
    CHANNELS,
    CHOSEN_ROUNDS,
    CUES,
    FIRST,
    ON_WINDER,
    PHOTOGRAPHS,
    SENSOR_ANSWERS,
    SENSORS,
    UNDONE,
    WINDER_FIGURES,
)
from tracker.store.servicebookschema import SERVICE_BOOK
from tracker.store.signs import BENCH_SIGNS
from tracker.words import say

MIGRATIONS = Migrations("going")


@MIGRATIONS()
def m0001_spine(db: Database) -> None:
    """Register, log, commands, estimates and reminders."""
    _run(db, FIRST)


@MIGRATIONS()
def m0002_cues(db: Database) -> None:
    """Service cues, and what the register and the log learned with them."""
    _run(db, CUES)


@MIGRATIONS()
def m0003_photographs(db: Database) -> None:
    """Photographs of the dial, to be read later; and who wore what when, found without reading every row."""
    _run(db, PHOTOGRAPHS)


@MIGRATIONS()
def m0004_sensors(db: Database) -> None:
    """Sensors as they were set up, and which watch lay on which from when to when."""
    _run(db, SENSORS)


@MIGRATIONS()
def m0005_sensor_answers(db: Database) -> None:
    """What the owner said of what rest sensors told."""
    _run(db, SENSOR_ANSWERS)


@MIGRATIONS()
def m0006_chosen_rounds(db: Database) -> None:
    """The rounds that people chose for the next winding of a watch."""
    _run(db, CHOSEN_ROUNDS)


@MIGRATIONS()
def m0007_winder_figures(db: Database) -> None:
    """What the owner knows of a watch with a rotor: what keeps it going on a winder, how long wear takes to fill it."""
    _run(db, WINDER_FIGURES)


@MIGRATIONS()
def m0008_on_winder(db: Database) -> None:
    """When a watch was put on a winder and when it was taken off."""
    _run(db, ON_WINDER)


@MIGRATIONS()
def m0009_channels(db: Database) -> None:
    """Several channels to the owner, each with an address of its own, and reminders put off."""
    _run(db, CHANNELS)
    move_address(db)


@MIGRATIONS()
def m0010_absences(db: Database) -> None:
    """When the owner is away."""
    _run(db, ABSENCES)


@MIGRATIONS()
def m0011_service_book(db: Database) -> None:
    """Parts of a service, files beside it, a rule of its own for each watch, and a customer's watch from in to out."""
    _run(db, SERVICE_BOOK)


@MIGRATIONS()
def m0012_barrels(db: Database) -> None:
    """What the bench knows of a watch's barrel and spring."""
    _run(db, BARRELS)


@MIGRATIONS()
def m0013_access(db: Database) -> None:
    """Persons who come and go, with passwords, sessions and tokens, of which only hashes are kept."""
    _run(db, ACCESS)


@MIGRATIONS()
def m0014_timing_readings(db: Database) -> None:
    """Rate, amplitude and beat error by position; the lift angle of a watch."""
    _run(db, TIMING_READINGS)


@MIGRATIONS()
def m0015_bench_tests(db: Database) -> None:
    """Run-down tests on the bench."""
    _run(db, BENCH_TESTS)


@MIGRATIONS()
def m0016_bench_signs(db: Database) -> None:
    """Signs of a fault that a bench noted."""
    _run(db, BENCH_SIGNS)


@MIGRATIONS()
def m0017_portraits(db: Database) -> None:
    """Photographs of the watches themselves."""
    _run(db, PORTRAITS)


@MIGRATIONS()
def m0018_undone(db: Database) -> None:
    """What an undo took back, found at once."""
    _run(db, UNDONE)


def _run(db: Database, script: str) -> None:
    for statement in script.split(";\n"):
        if statement.strip():
            db.execute(statement)


def names(known: Migrations | None = None) -> list[str]:
    """Every migration this program knows for going.db, or for another file, oldest first."""
    with closing(sqlite3.connect(":memory:")) as conn:
        return [migration.name for migration in (known or MIGRATIONS).pending(Database(conn))]


def migrate(path: Path, db: Database, known: Migrations | None = None) -> None:
    """Bring the file at `path`, open as `db`, to the present schema; one process at a time, see `alone`.

    `known` are the migrations of that file; None: those of going.db.

    Raises:
        Unavailable: the file was written by a newer program.
    """
    known = known or MIGRATIONS
    _refuse_newer(path, db, known)
    pending = known.pending(db)
    if pending and known.applied(db):
        _keep_copy(db, path.with_name(f"{path.name}.before-{pending[0].name}"))
    # Its own table and that table's index come as two statements; broken off between them, the index would never come.
    with db.atomic():
        known.ensure_migrations_table(db)
    known.apply(db)


def _refuse_newer(path: Path, db: Database, known: Migrations) -> None:
    unknown = sorted({migration.name for migration in known.applied(db)} - set(names(known)))
    if unknown:
        raise Unavailable(
            say(
                "{file} was written by a newer Going Barrel (it knows “{migration}”); update the program to open it.",
                file=path.name,
                migration=unknown[-1],
            )
        )


def _keep_copy(db: Database, copy: Path) -> None:
    # Under another name until it is whole and on the disk: a kill half way must not leave what looks like a copy.
    part = copy.with_name(f"{copy.name}.part")
    part.unlink(missing_ok=True)
    db.execute("VACUUM INTO ?", [str(part)])
    with part.open("rb") as written:
        os.fsync(written.fileno())
    part.replace(copy)


@contextmanager
def alone(path: Path) -> Iterator[None]:
    """Keep other processes from opening this file for the first time meanwhile.

    Several migrating a new file at once collide inside sqlite-utils; the kernel frees this lock at a kill.
    """
    with path.with_name(f"{path.name}.migrating").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        yield
