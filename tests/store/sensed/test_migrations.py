from pathlib import Path
from typing import Any

import pytest

from tracker.errors import Unavailable
from tracker.store.migrations import names
from tracker.store.sensed.migrations import SENSED, open_sensed


def test_a_fresh_file_has_every_migration_and_is_sound(tmp_path: Path, outside: Any) -> None:
    opened = open_sensed(tmp_path)
    assert [migration.name for migration in SENSED.applied(opened.reading())] == names(SENSED)
    opened.close()
    outside.check_sound(opened.path)
    open_sensed(tmp_path).close()


def test_a_file_of_a_newer_program_is_refused(tmp_path: Path) -> None:
    opened = open_sensed(tmp_path)
    with opened.change() as db:
        db.execute(
            "INSERT INTO _sqlite_migrations (migration_set, name, applied_at) VALUES ('sensed', 's9999_later', '')"
        )
    opened.close()
    with pytest.raises(Unavailable) as caught:
        open_sensed(tmp_path)
    assert caught.value.sentence.startswith("sensors.db was written by a newer Going Barrel (it knows “s9999_later”)")


def test_it_is_as_durable_as_the_collection_itself(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.undo()
    opened = open_sensed(tmp_path)
    for pragma, value in (("journal_mode", "wal"), ("synchronous", 2), ("foreign_keys", 1)):
        assert opened.reading().execute(f"PRAGMA {pragma}").fetchone() == (value,)
    opened.close()
