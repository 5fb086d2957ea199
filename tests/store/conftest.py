"""Faults under the store, a look at the file from outside, and children that can be killed."""

import os
import sqlite3
import warnings
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from tracker.store.store import prepare

Rows = dict[str, list[tuple[Any, ...]]]


def _unhurried(conn: sqlite3.Connection) -> None:
    prepare(conn)
    # A process may be killed in these tests, the machine may not: nobody need wait for the disk.
    sqlite3.Connection.execute(conn, "PRAGMA synchronous = OFF")


@pytest.fixture(autouse=True)
def no_waiting_for_the_disk(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tracker.store.store.prepare", _unhurried)


class Faults:
    """Connections whose `execute` fails at its n-th call, BEGIN, COMMIT and ROLLBACK included; `for_good` from then on."""

    def __init__(self, n: int, *, for_good: bool, act: Callable[[], None]) -> None:
        self.n, self.for_good, self.act = n, for_good, act
        self.calls, self.mended = 0, False

    def connect(self, path: Path) -> sqlite3.Connection:
        faults = self

        class Failing(sqlite3.Connection):
            def execute(self, *args: Any) -> sqlite3.Cursor:
                faults.step()
                return super().execute(*args)

        conn = sqlite3.connect(path, check_same_thread=False, factory=Failing)
        try:
            _unhurried(conn)
        except BaseException:
            conn.close()
            raise
        return conn

    def step(self) -> None:
        self.calls += 1
        if not self.mended and (self.calls == self.n or (self.for_good and self.calls > self.n)):
            self.act()


def _disk_error() -> None:
    error = sqlite3.OperationalError("disk I/O error")
    error.sqlite_errorcode = sqlite3.SQLITE_IOERR
    raise error


def _kill_self() -> None:
    os.kill(os.getpid(), 9)


def _fail_at(n: int, *, for_good: bool) -> Faults:
    return Faults(n, for_good=for_good, act=_disk_error)


@pytest.fixture
def fail_at() -> Callable[..., Faults]:
    """`fail_at(n, for_good=…)`: faults whose `connect` is a factory for the store."""
    return _fail_at


@pytest.fixture
def kill_at() -> Callable[[int], Faults]:
    """The process is killed in place of the n-th statement."""
    return lambda n: Faults(n, for_good=False, act=_kill_self)


class Outside:
    """The file as a connection of another program sees it."""

    @staticmethod
    def look(path: Path) -> Rows:
        """Every row of every table."""
        with closing(sqlite3.connect(path)) as conn:
            names = [name for (name,) in conn.execute("SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY 1")]
            return {name: conn.execute(f"SELECT * FROM {name}").fetchall() for name in names}  # noqa: S608 -- its own names

    @staticmethod
    def check_sound(path: Path) -> None:
        """What must hold after any fault."""
        with closing(sqlite3.connect(path)) as conn:
            assert conn.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
            assert conn.execute("PRAGMA foreign_key_check").fetchall() == []

    @staticmethod
    def schema(path: Path) -> list[tuple[str, ...]]:
        """Every table and index, word for word."""
        with closing(sqlite3.connect(path)) as conn:
            return conn.execute("SELECT type, name, tbl_name, sql FROM sqlite_master ORDER BY type, name").fetchall()


@pytest.fixture
def outside() -> Outside:
    return Outside()


def _start(act: Callable[[], None]) -> int:
    with warnings.catch_warnings():
        # Newer Pythons warn of forking beside threads; the child touches nothing but its own connections.
        warnings.simplefilter("ignore", DeprecationWarning)
        pid = os.fork()
    if pid == 0:
        code = 1
        try:
            act()
            code = 0
        finally:
            os._exit(code)
    return pid


@pytest.fixture
def start() -> Callable[[Callable[[], None]], int]:
    """Run something in a child process; gives its pid."""
    return _start
