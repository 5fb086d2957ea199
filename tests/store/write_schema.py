"""Write the stored copy of the newest schema: `python tests/store/write_schema.py` from the root of the checkout.

Run it once for each new migration, before its release, and keep the file it names. The copy of the first migration is
made of a fresh file with a few rows; each later one is the copy before it, upgraded. Released copies are never
written again: they are what users have.
"""

import os
import sqlite3
import sys
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from tracker.collection import open_collection, owner
from tracker.commands.door import submit
from tracker.commands.log import LogService, LogSighting, LogWear, LogWind, VoidEntry
from tracker.commands.register import EditWatch, RegisterWatch
from tracker.store.estimates import forget_estimates
from tracker.store.migrations import names
from tracker.store.store import Store
from tracker.uids import uid_of

SCHEMAS = Path(__file__).parent / "schemas"
NOW = datetime(2026, 11, 25, 7, 25, tzinfo=UTC)


def copy_of(migration: str) -> Path:
    """Where the copy of the schema after this migration is kept: `m0001_spine` in `0001_spine.sql`."""
    return SCHEMAS / f"{migration.removeprefix('m')}.sql"


def load(copy: Path, file: Path) -> None:
    """Make a file of a stored copy."""
    with closing(sqlite3.connect(file)) as conn:
        conn.executescript(copy.read_text(encoding="utf-8"))


def write_newest() -> Path:
    """Write the copy of the newest migration."""
    *earlier, newest = names()
    with TemporaryDirectory() as folder:
        file = Path(folder) / "going.db"
        if earlier:
            load(copy_of(earlier[-1]), file)
            store = Store(file)
            store.prepare()
        else:
            store = _with_a_few_rows(file.parent)
        chance = {owner(store, "page", NOW).person_uid: uid_of("owner")}
        store.close()
        with closing(sqlite3.connect(file)) as conn:
            chance |= {at: f"{NOW}" for (at,) in conn.execute("SELECT applied_at FROM _sqlite_migrations")}
            copy_of(newest).write_text(_same_each_time("\n".join(conn.iterdump()), chance), encoding="utf-8")
    return copy_of(newest)


def _same_each_time(dump: str, chance: dict[str, str]) -> str:
    """The dump without what chance put in, so that a copy written again differs only where the schema does."""
    for came, stands in chance.items():
        dump = dump.replace(came, stands)
    return f"{dump}\n"


def _with_a_few_rows(folder: Path) -> Store:
    os.environ["TZ"] = "Europe/Berlin"
    store = open_collection(folder, NOW)
    who = owner(store, "page", NOW)
    watch, wind = uid_of("watch"), uid_of("wind")
    entry: dict[str, Any] = {
        "watch_uid": watch,
        "at": datetime(2026, 11, 24, 6, 30, tzinfo=UTC),
        "zone": "Europe/Berlin",
    }
    for command in (
        RegisterWatch(uid=watch, nickname="Anna's “best”", stated_reserve_h=42, habit="keep going"),
        EditWatch(uid=uid_of("edit"), watch_uid=watch, nickname="Anna", stated_reserve_h=40.5, habit="keep going"),
        LogService(uid=uid_of("service"), work_done="cleaned; oiled", **entry),
        LogWind(uid=wind, found="stopped", shown="4:37", hands="set now", **entry),
        LogSighting(uid=uid_of("sighting"), seen="going", within_min=30, **entry),
        LogWear(uid=uid_of("wear"), act="put on", **entry),
        VoidEntry(uid=uid_of("void"), entry_uid=wind),
    ):
        submit(store, [command], who)
    with store.change() as db:
        # A cache; its figures move with the model, not with the schema.
        forget_estimates(db)
    return store


if __name__ == "__main__":
    sys.stdout.write(f"{write_newest()}\n")
