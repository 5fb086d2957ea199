"""The way back: what was, or nothing; what stood there is never lost."""

import json
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from datetime import datetime
from pathlib import Path
from typing import Any
from zipfile import ZipFile

import pytest

from tests.backup.conftest import PNG
from tests.store.write_schema import SCHEMAS
from tracker.backup.archive import write
from tracker.backup.restoring import restore
from tracker.errors import BadInput, Conflict, GoingError, Unavailable
from tracker.photofile import photograph
from tracker.reminders.role import take_role
from tracker.store.copies import flaws, row_counts, schema_steps
from tracker.store.migrations import names
from tracker.store.store import Store


@pytest.fixture
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("elsewhere")


@pytest.fixture
def archive(store: Store, now: datetime, place: Path, pictured: str) -> Path:
    assert pictured
    return write(store.path.parent, place / "watches.zip", now).file


def everything(folder: Path) -> str:
    with closing(sqlite3.connect(folder / "going.db")) as conn:
        return "\n".join(conn.iterdump())


def test_what_comes_back_is_what_was_there(
    store: Store, archive: Path, place: Path, now: datetime, pictured: str
) -> None:
    assert restore(archive, place / "new", now).aside is None
    assert everything(place / "new") == everything(store.path.parent)
    assert (place / "new" / "files" / pictured).read_bytes() == photograph(PNG).data
    assert sorted(each.name for each in place.iterdir()) == ["new", "watches.zip"]


def test_what_was_there_is_kept_aside_when_asked_and_its_backups_go_on(
    archive: Path, place: Path, now: datetime
) -> None:
    there = place / "there"
    (there / "backups").mkdir(parents=True)
    (there / "backups" / "going-barrel-20261124T000000Z.zip").write_text("earlier")
    (there / "going.db").write_text("another collection")
    with pytest.raises(Conflict, match="holds something already"):
        restore(archive, there, now)
    done = restore(archive, there, now, replace=True)
    assert done.aside is not None
    assert (done.aside / "going.db").read_text() == "another collection"
    assert (there / "backups" / "going-barrel-20261124T000000Z.zip").read_text() == "earlier"
    assert restore(archive, there, now, replace=True).aside not in {None, done.aside}


def test_a_collection_in_use_is_left_alone(archive: Path, place: Path, now: datetime) -> None:
    there = place / "there"
    there.mkdir()
    held = take_role(there, "reminding")
    assert held is not None
    with held, pytest.raises(Conflict, match="in use"):
        restore(archive, there, now, replace=True)
    assert [each.name for each in there.iterdir()] == ["reminding.lock"]


@pytest.mark.parametrize("migration", names())
def test_a_backup_of_an_older_schema_is_upgraded(migration: str, place: Path, now: datetime) -> None:
    old = place / "old"
    old.mkdir()
    with closing(sqlite3.connect(old / "going.db")) as conn:
        conn.executescript((SCHEMAS / f"{migration.removeprefix('m')}.sql").read_text(encoding="utf-8"))
    before = row_counts(old / "going.db")
    file = write(old, place / "old.zip", now).file
    restore(file, place / "new", now)
    assert schema_steps(place / "new" / "going.db") == names()
    assert flaws(place / "new" / "going.db") == []
    after = row_counts(place / "new" / "going.db")
    assert {table: after[table] for table in ("winding", "sighting", "service", "wear", "command_log")} == {
        table: before[table] for table in ("winding", "sighting", "service", "wear", "command_log")
    }


def _rewritten(archive: Path, change: Callable[[str, bytes], tuple[str, bytes]], *more: tuple[str, bytes]) -> None:
    """The archive with its files changed, and others added."""
    with ZipFile(archive) as source:
        files = [change(name, source.read(name)) for name in source.namelist()]
    with ZipFile(archive, "w") as target:
        for name, data in [*files, *more]:
            target.writestr(name, data)


def _manifest(change: Callable[[dict[str, Any]], object]) -> Callable[[str, bytes], tuple[str, bytes]]:
    def changed(name: str, data: bytes) -> tuple[str, bytes]:
        if name != "manifest.json":
            return name, data
        told = json.loads(data)
        change(told)
        return name, json.dumps(told).encode()

    return changed


def _same(name: str, data: bytes) -> tuple[str, bytes]:
    return name, data


def _climbing(archive: Path, name: str) -> None:
    listed = _manifest(lambda told: told["entries"].append({"name": name, "size": 1, "sha256": "0" * 64}))
    _rewritten(archive, listed, (name, b"x"))


def _truncated(archive: Path) -> None:
    archive.write_bytes(archive.read_bytes()[: archive.stat().st_size // 2])


def _flipped(archive: Path) -> None:
    data = bytearray(archive.read_bytes())
    for at in range(2_000, 2_100):
        data[at] ^= 0xFF
    archive.write_bytes(data)


def _letter(archive: Path) -> None:
    archive.write_text("a letter")


def _newer(archive: Path) -> None:
    _rewritten(archive, _manifest(lambda told: told["schema"]["going.db"].append("m9999_later")))


BROKEN: dict[str, tuple[Callable[[Path], None], type[GoingError], str]] = {
    "cut short": (_truncated, BadInput, "{file} is damaged, it is no whole archive; nothing was restored."),
    "a byte flipped": (_flipped, BadInput, "{file} is damaged, going.db in it is not as it was; nothing was restored."),
    "no archive": (
        _letter,
        BadInput,
        "{file} is damaged, it is no whole archive; nothing was restored.",
    ),
    "another archive": (
        lambda file: _rewritten(file, lambda name, data: (name.replace("manifest", "other"), data)),
        BadInput,
        "{file} is not a backup of this program; nothing was restored.",
    ),
    "climbs out": (
        lambda file: _climbing(file, "../outside"),
        BadInput,
        "{file} holds what no backup holds, “../outside”; nothing was restored.",
    ),
    "from the root": (
        lambda file: _climbing(file, "/etc/outside"),
        BadInput,
        "{file} holds what no backup holds, “/etc/outside”; nothing was restored.",
    ),
    "not listed": (
        lambda file: _rewritten(file, _same, ("sensors.db", b"x")),
        BadInput,
        "{file} holds what no backup holds, “sensors.db”; nothing was restored.",
    ),
    "without going.db": (
        lambda file: _rewritten(
            file, lambda name, data: (name, b"{}") if name == "going.db" else _manifest(_without_going)(name, data)
        ),
        BadInput,
        "{file} holds what no backup holds, “going.db”; nothing was restored.",
    ),
    "newer": (
        _newer,
        Unavailable,
        "{file} was made by a newer Going Barrel (it knows “m9999_later”); update the program to restore it.",
    ),
    "counts otherwise": (
        lambda file: _rewritten(file, _manifest(lambda told: told["rows"]["going.db"].update(watch=7))),
        BadInput,
        "{file} is damaged, going.db in it is not as it was; nothing was restored.",
    ),
    "not there": (Path.unlink, BadInput, "There is no file {file}."),
}


def _without_going(told: dict[str, Any]) -> None:
    told["entries"] = [each for each in told["entries"] if each["name"] != "going.db"]


@pytest.mark.parametrize("kind", BROKEN)
def test_a_broken_archive_is_refused_in_one_sentence_and_nothing_moves(
    kind: str, archive: Path, place: Path, now: datetime
) -> None:
    there = place / "there"
    shutil.copytree(archive.parent, there)
    (there / "going.db").write_text("what is dear")
    before = sorted(each.name for each in place.parent.iterdir())
    spoil, error, sentence = BROKEN[kind]
    spoil(archive)
    with pytest.raises(error) as caught:
        restore(archive, there, now, replace=True)
    assert caught.value.sentence == sentence.format(file=archive)
    assert (there / "going.db").read_text() == "what is dear"
    assert sorted({each.name for each in place.iterdir()} - {archive.name}) == ["there"]
    assert sorted(each.name for each in place.parent.iterdir()) == before
