"""A collection as its readers see it, and two watches to give commands about."""

import sqlite3
from collections.abc import Callable
from datetime import datetime
from typing import Any

import pytest

from tracker.commands.base import Who
from tracker.commands.build import build
from tracker.commands.door import COMMANDS, submit
from tracker.store.moments import to_text
from tracker.store.store import Store, prepare
from tracker.uids import uid_of

Tables = dict[str, list[dict[str, Any]]]

BOOKKEEPING = {"version", "log_counter"}
"""Columns that only grow, so that nobody takes what was undone for what was never touched."""

NOT_READ = {
    "command_log",  # the history of commands itself: an undo adds to it
    "estimate",  # worked out from the log, and good for one count of its changes
    "reminder",  # planned from the log; one that no longer holds stays, withdrawn
    "delivery",  # as its reminder
}


def _unhurried(conn: sqlite3.Connection) -> None:
    prepare(conn)
    # A process may be killed in these tests, the machine may not: nobody need wait for the disk.
    sqlite3.Connection.execute(conn, "PRAGMA synchronous = OFF")


@pytest.fixture(autouse=True)
def no_waiting_for_the_disk(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tracker.store.store.prepare", _unhurried)


def _as_read(store: Store) -> Tables:
    db = store.reading()
    names = [name for (name,) in db.execute("SELECT name FROM sqlite_master WHERE type = 'table'").fetchall()]
    return {name: _rows(store, name) for name in names if name not in NOT_READ and not name.startswith("_")}


def _rows(store: Store, table: str) -> list[dict[str, Any]]:
    cursor = store.reading().execute(f"SELECT * FROM {table} ORDER BY 1")  # noqa: S608 -- its own names
    columns = [column[0] for column in cursor.description]
    rows = [dict(zip(columns, row, strict=True)) for row in cursor.fetchall()]
    return [
        {column: value for column, value in row.items() if column not in BOOKKEEPING}
        for row in rows
        if row.get("voided_by") is None
    ]


@pytest.fixture(scope="session")
def as_read() -> Callable[[Store], Tables]:
    """Every table without voided rows and without bookkeeping."""
    return _as_read


@pytest.fixture
def give(store: Store, who: Who) -> Callable[..., str]:
    """`give("LogWind", …)`: one command through the door as the owner; gives its uid."""

    def one(kind: str, /, **fields: Any) -> str:
        command = build(COMMANDS[kind], fields)
        submit(store, [command], who)
        return command.uid

    return one


@pytest.fixture
def anna(give: Callable[..., str]) -> str:
    return give("RegisterWatch", uid=uid_of("anna"), nickname="Anna", indicator="hours", stated_reserve_h=42)


@pytest.fixture
def helper(store: Store, now: datetime) -> Who:
    """A second person of the household."""
    uid = uid_of("helper")
    with store.change() as db:
        db.execute(
            "INSERT INTO person (uid, name, role, added_utc) VALUES (?, 'helper', 'helper', ?)", [uid, to_text(now)]
        )
    return Who(person_uid=uid, origin="page", now=now, zone="UTC")
