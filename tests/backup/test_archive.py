"""A backup is whole, of one moment, private, and never in another file's place unasked."""

import json
import sqlite3
import threading
from contextlib import closing
from datetime import datetime
from pathlib import Path
from zipfile import ZipFile

import pytest

from tracker.backup import archive
from tracker.backup.archive import write
from tracker.backup.manifest import read_manifest, wrong
from tracker.commands.base import Who
from tracker.commands.door import submit
from tracker.commands.register import RegisterWatch
from tracker.errors import Conflict, Unavailable
from tracker.store.sensed.migrations import open_sensed
from tracker.store.store import Store


@pytest.fixture
def file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("elsewhere") / "watches.zip"


def test_it_holds_both_databases_and_the_pictures_that_rows_name(
    store: Store, now: datetime, file: Path, pictured: str
) -> None:
    open_sensed(store.path.parent).close()
    manifest = write(store.path.parent, file, now).manifest
    with ZipFile(file) as found:
        assert sorted(found.namelist()) == [f"files/{pictured}", "going.db", "manifest.json", "sensors.db"]
        assert read_manifest(found) == manifest
        assert wrong(found, manifest) == []
    assert manifest.rows["going.db"]["watch"] == 1
    assert file.stat().st_mode & 0o777 == 0o600
    assert [each.name for each in file.parent.iterdir()] == [file.name]


def test_a_picture_that_is_gone_is_told_and_stops_nothing(
    store: Store, now: datetime, file: Path, pictured: str
) -> None:
    (store.path.parent / "files" / pictured).unlink()
    assert write(store.path.parent, file, now).manifest.missing == (pictured,)


def test_secrets_of_going_toml_stay_at_home(store: Store, now: datetime, file: Path) -> None:
    text = '[mqtt]\nhost = "broker"\n  password = "open sesame"\nkey_file = "own.key"\n'
    (store.path.parent / "going.toml").write_text(text)
    write(store.path.parent, file, now)
    with ZipFile(file) as found:
        kept = found.read("going.toml").decode()
    assert "open sesame" not in kept
    assert 'host = "broker"' in kept
    assert 'key_file = "own.key"' in kept


def test_keys_in_the_folder_are_no_part_of_it(store: Store, now: datetime, file: Path) -> None:
    (store.path.parent / "link-key").write_text("secret")
    write(store.path.parent, file, now)
    with ZipFile(file) as found:
        assert sorted(found.namelist()) == ["going.db", "manifest.json"]


def test_another_file_is_left_alone_unless_asked(store: Store, now: datetime, file: Path) -> None:
    file.write_text("a letter")
    with pytest.raises(Conflict, match="was left alone"):
        write(store.path.parent, file, now)
    assert file.read_text() == "a letter"
    write(store.path.parent, file, now, replace=True)
    assert ZipFile(file).testzip() is None


def test_while_others_write_it_is_of_one_moment(store: Store, who: Who, now: datetime, file: Path) -> None:
    """Each change writes a watch and the record of it: a copy has as many of one as of the other."""
    stopping = threading.Event()

    def add() -> None:
        while not stopping.is_set():
            submit(store, [RegisterWatch(nickname=f"Watch {next(count)}")], who, then=_later)
        store.leave()

    count = iter(range(10_000))
    writer = threading.Thread(target=add)
    writer.start()
    try:
        for n in range(5):
            rows = write(store.path.parent, file.with_name(f"{n}.zip"), now).manifest.rows["going.db"]
            assert rows["watch"] == rows["command_log"]
    finally:
        stopping.set()
        writer.join()


def test_a_damaged_collection_is_told_and_nothing_takes_the_name(store: Store, now: datetime, file: Path) -> None:
    store.close()
    with closing(sqlite3.connect(store.path)) as conn:
        conn.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    data = bytearray(store.path.read_bytes())
    for page in range(2, len(data) // 4096):
        data[page * 4096 : page * 4096 + 64] = b"\xff" * 64
    store.path.write_bytes(data)
    with pytest.raises(Unavailable, match=r"No backup was made: going\.db can't be copied"):
        write(store.path.parent, file, now)
    assert list(file.parent.iterdir()) == []


def test_what_reads_otherwise_than_it_was_written_is_no_backup(
    store: Store, now: datetime, file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(archive, "wrong", lambda *_: ["going.db"])
    with pytest.raises(Unavailable, match="reads otherwise"):
        write(store.path.parent, file, now)
    assert list(file.parent.iterdir()) == []


def test_a_folder_that_is_a_file_is_told(store: Store, now: datetime, file: Path) -> None:
    file.write_text("")
    with pytest.raises(Unavailable, match="No backup was made"):
        write(store.path.parent, file / "watches.zip", now)


def test_where_there_is_no_collection_there_is_no_backup(tmp_path: Path, now: datetime, file: Path) -> None:
    with pytest.raises(Unavailable, match="There is no collection in"):
        write(tmp_path / "nowhere", file, now)


def test_the_list_of_contents_is_plain_json(store: Store, now: datetime, file: Path) -> None:
    write(store.path.parent, file, now)
    with ZipFile(file) as found:
        told = json.loads(found.read("manifest.json"))
    assert (told["form"], told["form_version"]) == ("Going Barrel backup", 1)
    assert told["schema"]["going.db"][0] == "m0001_spine"


def _later(*_: object) -> None:
    """Estimates are not asked for here."""
