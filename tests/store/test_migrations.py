"""Every released schema can still be opened: upgraded, it is what a fresh file is, and a copy of it is kept."""

import os
import sqlite3
from collections.abc import Callable
from contextlib import closing
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from sqlite_utils import Database, Migrations

from tracker.collection import open_collection
from tracker.errors import Unavailable
from tracker.store import migrations
from tracker.store.log import all_entry_rows
from tracker.store.migrations import MIGRATIONS, names
from tracker.store.store import Store

SCHEMAS = Path(__file__).parent / "schemas"
NEWEST = names()[-1]
LATER = "m9999_later"


def _stored(migration: str, file: Path) -> Path:
    with closing(sqlite3.connect(file)) as conn:
        conn.executescript((SCHEMAS / f"{migration.removeprefix('m')}.sql").read_text(encoding="utf-8"))
    return file


@pytest.fixture
def later(monkeypatch: pytest.MonkeyPatch) -> Callable[[Callable[[Database], None]], None]:
    """Make the program one migration newer."""

    def use(second: Callable[[Database], None]) -> None:
        newer = Migrations("going")
        for known in MIGRATIONS.pending(Database(memory=True)):
            newer(name=known.name)(known.fn)
        newer(name=LATER)(second)
        monkeypatch.setattr(migrations, "MIGRATIONS", newer)

    return use


def _add_column(db: Database) -> None:
    db.execute("ALTER TABLE watch ADD COLUMN strap TEXT NOT NULL DEFAULT ''")


def _stumble(db: Database) -> None:
    _add_column(db)
    raise ZeroDivisionError


def test_every_migration_has_a_stored_copy_and_no_copy_is_without() -> None:
    assert sorted(copy.stem for copy in SCHEMAS.iterdir()) == [name.removeprefix("m") for name in names()]


@pytest.mark.parametrize("migration", names())
def test_upgrading_a_stored_copy_gives_the_schema_of_a_fresh_file(
    migration: str, tmp_path: Path, now: datetime, outside: Any
) -> None:
    fresh = open_collection(tmp_path / "fresh", now)
    old = Store(_stored(migration, tmp_path / "going.db"))
    old.prepare()
    assert outside.schema(old.path) == outside.schema(fresh.path)
    outside.check_sound(old.path)
    old.close()
    fresh.close()


@pytest.mark.parametrize("migration", names())
def test_the_log_of_a_stored_copy_is_read_as_it_was_noted(migration: str, tmp_path: Path, now: datetime) -> None:
    _stored(migration, tmp_path / "going.db")
    opened = open_collection(tmp_path, now)
    rows = all_entry_rows(opened.reading())
    assert [(row["table"], row["nickname"], row["at_utc"]) for row in rows] == [
        (table, "Anna", "2026-11-24T06:30:00Z") for table in ("sighting", "service", "wear")
    ]
    opened.close()


def test_a_fresh_file_needs_no_copy(tmp_path: Path, now: datetime) -> None:
    open_collection(tmp_path, now).close()
    open_collection(tmp_path, now).close()
    assert sorted(file.name for file in tmp_path.iterdir()) == ["going.db", "going.db.migrating"]


def test_an_upgrade_keeps_a_copy_of_the_file_before_it(tmp_path: Path, now: datetime, later: Any, outside: Any) -> None:
    file = _stored(NEWEST, tmp_path / "going.db")
    rows, schema = outside.look(file), outside.schema(file)
    copy = tmp_path / f"going.db.before-{LATER}"
    copy.write_text("left by an upgrade that was given up long ago")
    copy.with_name(f"{copy.name}.part").write_text("left by a kill")
    later(_add_column)
    open_collection(tmp_path, now).close()
    assert (outside.look(copy), outside.schema(copy)) == (rows, schema)
    assert outside.look(file)["watch"][0][-1] == ""
    assert not copy.with_name(f"{copy.name}.part").exists()


def test_an_upgrade_that_fails_changes_nothing_and_can_be_tried_again(tmp_path: Path, later: Any, outside: Any) -> None:
    store = Store(_stored(NEWEST, tmp_path / "going.db"))
    rows, schema = outside.look(store.path), outside.schema(store.path)
    later(_stumble)
    with pytest.raises(ZeroDivisionError):
        store.prepare()
    assert (outside.look(store.path), outside.schema(store.path)) == (rows, schema)
    later(_add_column)
    store.prepare()
    assert [each.name for each in MIGRATIONS.applied(store.reading())] == names()
    store.close()


def test_an_upgrade_killed_at_any_statement_can_be_tried_again(
    tmp_path: Path, later: Any, kill_at: Any, start: Any, outside: Any
) -> None:
    later(_add_column)
    for n in range(1, 100):
        folder = tmp_path / str(n)
        folder.mkdir()
        file = _stored(NEWEST, folder / "going.db")
        rows = outside.look(file)["watch"]
        if os.waitpid(start(Store(file, connect=kill_at(n).connect).prepare), 0)[1] == 0:
            break
        store = Store(file)
        store.prepare()
        store.close()
        outside.check_sound(file)
        assert outside.look(file)["watch"] == [(*row, "") for row in rows]
        assert outside.look(folder / f"going.db.before-{LATER}")["watch"] == rows
    assert 15 < n < 99


def test_a_file_of_a_newer_program_is_refused_and_left_alone(
    tmp_path: Path, now: datetime, later: Any, monkeypatch: pytest.MonkeyPatch, outside: Any
) -> None:
    later(_add_column)
    open_collection(tmp_path, now).close()
    monkeypatch.setattr(migrations, "MIGRATIONS", MIGRATIONS)
    before = outside.look(tmp_path / "going.db")
    with pytest.raises(Unavailable) as caught:
        open_collection(tmp_path, now)
    assert caught.value.sentence == (
        f"going.db was written by a newer Going Barrel (it knows “{LATER}”); update the program to open it."
    )
    assert outside.look(tmp_path / "going.db") == before
