"""What `going check` finds, and that it finds nothing where nothing is wrong."""

import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from datetime import datetime
from pathlib import Path

import pytest

from tests.dials import png
from tracker.checking import alike, check
from tracker.commands.base import Who
from tracker.commands.door import submit
from tracker.commands.log import LogWind
from tracker.commands.register import RegisterWatch
from tracker.errors import Unavailable
from tracker.photofile import keep, photograph
from tracker.store.sensed.migrations import open_sensed
from tracker.store.store import Store

PNG = png()
NAMED = "11" * 32


@pytest.fixture
def folder(store: Store, who: Who) -> Path:
    watch = RegisterWatch(nickname="Night ferry", stated_reserve_h=42, habit="keep going")
    submit(store, [watch, LogWind(watch_uid=watch.uid, at=who.now, zone="UTC")], who)
    open_sensed(store.path.parent).close()
    keep(store.path.parent, photograph(PNG))
    return store.path.parent


def test_a_sound_collection_has_nothing_but_remarks(folder: Path, now: datetime) -> None:
    found = check(folder, now)
    assert [(each.subject, each.fault) for each in found] == [("files", False)]
    assert found[0].sentence == f"Files in {folder / 'files'} that no entry names: 1. They do no harm."


def _sql(statement: str, name: str = "going.db") -> Callable[[Path], None]:
    def spoil(folder: Path) -> None:
        with closing(sqlite3.connect(folder / name)) as conn, conn:
            conn.executescript(statement)

    return spoil


def _flip(folder: Path) -> None:
    """Bytes in the middle of each page but the first."""
    with closing(sqlite3.connect(folder / "going.db")) as conn:
        conn.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    data = bytearray((folder / "going.db").read_bytes())
    for page in range(2, len(data) // 4096):
        data[page * 4096 : page * 4096 + 64] = b"\xff" * 64
    (folder / "going.db").write_bytes(data)


def _other_picture(folder: Path) -> None:
    file = next((folder / "files").iterdir())
    file.write_bytes(PNG + b"!")


ATTACHED = """
INSERT INTO attachment (uid, watch_uid, of_uid, sha256, media_type, size_bytes, noted_at_utc, person_uid, origin)
SELECT 'a', watch.uid, 'b', replace(hex(zeroblob(32)), '0', '1'), 'image/png', 9, '2026-11-25T07:25:00Z', person.uid, 'page'
FROM watch, person"""
SPOILT: dict[str, tuple[Callable[[Path], None], str]] = {
    "damaged": (_flip, "going.db is damaged: "),
    "another kind": (
        lambda folder: _write(folder / "sensors.db"),
        "sensors.db is damaged: the file is not a collection.",
    ),
    "a row that names none": (
        _sql("PRAGMA foreign_keys = OFF; UPDATE winding SET watch_uid = 'nobody'"),
        "going.db is damaged: winding, row 1: names a row of watch that is not there",
    ),
    "newer": (
        _sql("INSERT INTO _sqlite_migrations (migration_set, name, applied_at) VALUES ('going', 'm9999_later', '')"),
        "going.db was written by a newer program",
    ),
    "another figure kept": (
        _sql("UPDATE estimate SET answer = json_set(answer, '$.estimate.reserve.mid', 99.5)"),
        "What is kept of the reserve of Night ferry is not what its log gives: going recompute.",
    ),
    "an estimate ahead of its log": (
        _sql("UPDATE estimate SET log_counter = log_counter + 5"),
        "Estimates of logs that are not there yet: 1.",
    ),
    "a picture gone": (_sql(ATTACHED), f"Photographs or documents that are named and not there: {NAMED}."),
    "a picture changed": (_other_picture, "Files that are not what they were: "),
    "a reminder that can't be": (
        _sql(
            "INSERT INTO reminder (uid, kind, subject_uid, episode, due_utc, useful_until_utc, state, planned_at_utc, "
            "changed_at_utc) VALUES ('r', 'cue', 'w', 'e', '2026-11-25T08:00:00Z', '2026-11-25T07:00:00Z', 'planned', '', '')"
        ),
        "There is a reminder that ends before it is due: 1.",
    ),
    "an undo of nothing": (
        _sql("UPDATE command_log SET undone_by = 'nobody' WHERE number = 1"),
        "There is a change that another undid and that does not stand in the record: 1.",
    ),
    "a span turned round": (
        _sql(
            "INSERT INTO sensed (number, sensor_uid) VALUES (1, 's'); "
            "INSERT INTO going_span VALUES (1, 20, 10, 'going', 'open', 0)",
            "sensors.db",
        ),
        "There is a span that ends before it begins: 1.",
    ),
}


def _write(file: Path) -> None:
    file.write_bytes(b"no database at all " * 99)
    file.with_name(f"{file.name}-wal").unlink(missing_ok=True)


@pytest.mark.parametrize("kind", SPOILT)
def test_what_is_wrong_is_told_as_a_fault(kind: str, store: Store, folder: Path, now: datetime) -> None:
    store.close()
    spoil, sentence = SPOILT[kind]
    spoil(folder)
    faults = [each.sentence for each in check(folder, now) if each.fault]
    assert any(each.startswith(sentence) for each in faults), faults


def test_it_changes_nothing(store: Store, folder: Path, now: datetime) -> None:
    store.close()
    before = {file: file.read_bytes() for file in folder.rglob("*") if file.suffix == ".db"}
    check(folder, now)
    assert {file: file.read_bytes() for file in before} == before


def test_without_a_collection_there_is_nothing_to_check(tmp_path: Path, now: datetime) -> None:
    shutil.rmtree(tmp_path)
    with pytest.raises(Unavailable, match="There is no collection in"):
        check(tmp_path, now)


@pytest.mark.parametrize(
    ("kept", "anew", "same"),
    [
        ({"a": [1.0, None, "x"]}, {"a": [1.0 + 1e-13, None, "x"]}, True),
        ({"a": [1.0]}, {"a": [1.001]}, False),
        ({"a": 1}, {"b": 1}, False),
        ([1, 2], [1], False),
        ("x", None, False),
    ],
)
def test_figures_may_differ_in_their_last_digits_alone(*, kept: object, anew: object, same: bool) -> None:
    assert alike(kept, anew) == same
