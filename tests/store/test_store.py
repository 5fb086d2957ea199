"""One file, several hands on it; a file that can't be used is said to be so in one sentence."""

import os
import random
import signal
import sqlite3
import threading
import time
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from functools import partial
from itertools import count
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest

from tracker.collection import open_collection, owner
from tracker.commands.base import Who
from tracker.commands.door import submit
from tracker.commands.log import LogWind
from tracker.commands.register import RegisterWatch
from tracker.errors import Unavailable
from tracker.store.store import Store, connect, prepare
from tracker.uids import uid_of

NOBODY = 65534
WATCH = uid_of("watch")


def _impatient(path: Path) -> sqlite3.Connection:
    conn = connect(path)
    conn.execute("PRAGMA busy_timeout = 1")
    return conn


def _refusal(act: Callable[[], object]) -> str:
    with pytest.raises(Unavailable) as caught:
        act()
    return caught.value.sentence


def test_a_second_writer_waits_for_the_first(store: Store, who: Who) -> None:
    reached = threading.Event()

    def second() -> None:
        reached.set()
        submit(store, [RegisterWatch(nickname="Berta")], who)

    thread = threading.Thread(target=second)
    with store.change() as db:
        db.execute("UPDATE person SET name = 'first'")
        thread.start()
        reached.wait()
    thread.join()
    assert store.reading().execute("SELECT name, nickname FROM person, watch").fetchone() == ("first", "Berta")


def test_a_writer_that_waited_too_long_is_told_who_is_in_the_way(store: Store, who: Who) -> None:
    second = Store(store.path, connect=_impatient)
    with store.change():
        said = _refusal(partial(submit, second, [RegisterWatch(nickname="Anna")], who))
    assert said == "Nothing was saved in going.db: another program is writing to it. Try again."
    assert submit(second, [RegisterWatch(nickname="Anna")], who).applied == 1
    second.close()


def test_a_reader_sees_the_state_before_an_unfinished_change(store: Store) -> None:
    reader = Store(store.path)
    with store.change() as db:
        db.execute("UPDATE person SET name = 'changed'")
        assert reader.reading().execute("SELECT name FROM person").fetchone() == ("owner",)
    assert reader.reading().execute("SELECT name FROM person").fetchone() == ("changed",)
    reader.close()


def test_closing_takes_nothing_from_under_a_thread_that_still_reads(store: Store, start: Any) -> None:
    def close_meanwhile() -> None:
        for n in range(60):
            opened, reads, enough = Store(store.path), threading.Event(), threading.Event()

            def read(opened: Store = opened, reads: threading.Event = reads, enough: threading.Event = enough) -> None:
                db = opened.reading()
                while not enough.is_set():
                    assert db.execute("SELECT * FROM sqlite_schema ORDER BY sql").fetchall()
                    reads.set()

            thread = threading.Thread(target=read)
            thread.start()
            reads.wait()
            time.sleep(0.0001 * n)
            opened.close()
            enough.set()
            thread.join()

    # In a process of its own, which may crash.
    assert os.waitpid(start(close_meanwhile), 0)[1] == 0


def test_a_thread_that_has_ended_leaves_no_file_open(store: Store) -> None:
    opened = Store(store.path)
    thread = threading.Thread(target=opened.reading)
    thread.start()
    thread.join()
    assert store.path.resolve() in _files_open()
    store.close()
    opened.close()
    assert store.path.resolve() not in _files_open()


def _files_open() -> set[Path]:
    return {each.resolve() for each in Path("/proc/self/fd").iterdir()}


def test_a_kept_change_is_on_the_disk_and_obeys_the_schema(tmp_path: Path) -> None:
    conn = sqlite3.connect(tmp_path / "going.db")
    prepare(conn)
    asked = {
        name: conn.execute(f"PRAGMA {name}").fetchone()[0] for name in ("foreign_keys", "journal_mode", "synchronous")
    }
    assert asked == {"foreign_keys": 1, "journal_mode": "wal", "synchronous": 2}
    conn.close()


def test_two_processes_may_open_a_new_file_at_once(tmp_path: Path, now: datetime, start: Any, outside: Any) -> None:
    for n in range(25):
        folder = tmp_path / str(n)
        gate, opened = os.pipe()

        def race(folder: Path = folder, gate: int = gate, opened: int = opened) -> None:
            os.close(opened)
            os.read(gate, 1)
            open_collection(folder, now).close()

        children = [start(race), start(race)]
        os.close(opened)
        os.close(gate)
        assert [os.waitpid(pid, 0)[1] for pid in children] == [0, 0], n
        assert len(outside.look(folder / "going.db")["person"]) == 1
        outside.check_sound(folder / "going.db")


def _wind(batch: int, nth: int, now: datetime) -> LogWind:
    at = now - timedelta(minutes=batch)
    return LogWind(uid=uid_of(str(batch), str(nth)), watch_uid=WATCH, at=at, zone="UTC")


def test_a_process_killed_amid_its_changes_leaves_whole_changes_only(
    tmp_path: Path, now: datetime, start: Any, outside: Any
) -> None:
    opened = open_collection(tmp_path, now)
    who = owner(opened, "page", now)
    submit(opened, [RegisterWatch(uid=WATCH, nickname="Anna")], who)
    opened.close()
    done = 0
    for kept_first in (1, 2, 3, 5, 8, 13):
        told, tell = os.pipe()

        def keep_winding(told: int = told, tell: int = tell, done: int = done) -> None:
            os.close(told)
            store = Store(opened.path)
            for batch in count(done):
                submit(store, [_wind(batch, nth, now) for nth in range(3)], who)
                os.write(tell, b".")

        pid = start(keep_winding)
        os.close(tell)
        for _ in range(kept_first):
            assert os.read(told, 1) == b"."
        os.kill(pid, signal.SIGKILL)
        assert os.waitpid(pid, 0)[1] == signal.SIGKILL
        os.close(told)
        outside.check_sound(opened.path)
        rows = outside.look(opened.path)
        assert len(rows["winding"]) >= 3 * (done + kept_first)
        assert len(rows["command_log"]) == len(rows["winding"]) + 1
        done, rest = divmod(len(rows["winding"]), 3)
        assert rest == 0


@pytest.fixture
def folder_of_another() -> Iterator[Path]:
    """A folder with a collection in it that this user may read, not write."""
    with TemporaryDirectory() as name:
        yield Path(name)
        os.seteuid(os.getuid())
        Path(name).chmod(0o755)


def _leave_to_others(folder: Path, files: int) -> None:
    for file in folder.iterdir():
        file.chmod(files)
    folder.chmod(0o555)
    if os.getuid() == 0:
        # Nothing is closed to root.
        os.seteuid(NOBODY)


def test_a_folder_that_may_not_be_written_is_said_to_be_so(folder_of_another: Path, now: datetime) -> None:
    _leave_to_others(folder_of_another, 0o444)
    said = _refusal(partial(open_collection, folder_of_another, now))
    assert said == f"The collection in {folder_of_another} can't be opened: Permission denied."


def test_a_file_that_may_not_be_written_is_said_to_be_so(folder_of_another: Path, now: datetime) -> None:
    open_collection(folder_of_another, now).close()
    (folder_of_another / "going.db.migrating").chmod(0o666)
    file = folder_of_another / "going.db"
    file.chmod(0o444)
    folder_of_another.chmod(0o777)
    if os.getuid() == 0:
        os.seteuid(NOBODY)
    said = _refusal(partial(open_collection, folder_of_another, now))
    assert said == "Nothing was saved in going.db: it may only be read, not written. Try again."


def test_a_folder_that_is_a_file_is_said_to_be_so(tmp_path: Path, now: datetime) -> None:
    (tmp_path / "watches").touch()
    said = _refusal(partial(open_collection, tmp_path / "watches", now))
    assert said == f"The collection in {tmp_path / 'watches'} can't be opened: File exists."


@pytest.mark.parametrize(
    "content", [b"nickname,habit\n" * 100, random.Random(1).randbytes(8192)], ids=["text", "noise"]
)
def test_a_file_that_is_no_collection_is_refused_and_left_alone(content: bytes, tmp_path: Path, now: datetime) -> None:
    file = tmp_path / "going.db"
    file.write_bytes(content)
    assert _refusal(partial(open_collection, tmp_path, now)) == (
        f"The collection in {tmp_path} can't be opened: the file is not a collection."
    )
    assert file.read_bytes() == content


def test_an_empty_file_becomes_a_collection(tmp_path: Path, now: datetime) -> None:
    (tmp_path / "going.db").touch()
    opened = open_collection(tmp_path, now)
    assert owner(opened, "page", now).zone
    opened.close()


def test_a_damaged_file_is_said_to_be_so(tmp_path: Path, now: datetime) -> None:
    opened = open_collection(tmp_path, now)
    opened.close()
    whole = opened.path.read_bytes()
    opened.path.write_bytes(whole[:100] + b"\xff" * (len(whole) - 100))
    assert _refusal(partial(open_collection, tmp_path, now)) == (
        f"The collection in {tmp_path} can't be opened: the file is damaged."
    )


def test_every_thread_has_its_own_connection_and_close_closes_all(store: Store) -> None:
    conns = [store.reading().conn]
    thread = threading.Thread(target=lambda: conns.append(store.reading().conn))
    thread.start()
    thread.join()
    assert conns[0] is not conns[1]
    store.close()
    for conn in conns:
        with pytest.raises(sqlite3.ProgrammingError):
            conn.execute("SELECT 1")
