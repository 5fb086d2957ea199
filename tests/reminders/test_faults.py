"""The disk fails at the n-th statement of a ring, for n = 1, 2, … until a ring passes."""

import sqlite3
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from tests.reminders.channels import FIRST, add
from tracker.errors import Unavailable
from tracker.reminders.answer import Answer
from tracker.reminders.message import Message
from tracker.reminders.outbox import LEASE
from tracker.reminders.ring import ring
from tracker.store.store import Store, prepare

HOUR = timedelta(hours=1)
UTC_ZONE = ZoneInfo("UTC")
STATEMENTS = 40


@pytest.fixture(autouse=True)
def _a_channel(planned: Store) -> None:
    add(planned, "first", "http://x", FIRST)


class FailingDisk:
    """Connections whose n-th statement of all fails, `for_good` those after it too; what prepares one never does."""

    def __init__(self, number: int, *, for_good: bool) -> None:
        self.left, self.for_good, self.preparing = number, for_good, False

    def connect(self, path: Path) -> sqlite3.Connection:
        disk = self

        class Failing(sqlite3.Connection):
            def execute(self, *given: Any) -> sqlite3.Cursor:
                disk.step()
                return super().execute(*given)

        conn = sqlite3.connect(path, check_same_thread=False, factory=Failing)
        self.preparing = True
        prepare(conn)
        self.preparing = False
        return conn

    def step(self) -> None:
        if not self.preparing:
            self.left -= 1
            if self.left == 0 or (self.for_good and self.left < 0):
                raise sqlite3.OperationalError("disk I/O error")


def disk_fails(
    path: Path, number: int, due: datetime, send: Callable[[str, Message], Answer], *, for_good: bool
) -> bool:
    broken = Store(path, connect=FailingDisk(number, for_good=for_good).connect)
    try:
        ring(broken, due, UTC_ZONE, send)
    except Unavailable:
        return True
    finally:
        broken.close()
    return False


@pytest.mark.parametrize("for_good", [False, True], ids=["once", "for good"])
@pytest.mark.parametrize("number", range(1, STATEMENTS))
def test_wherever_the_disk_fails_nothing_is_lost_and_one_repeat_at_most(
    planned: Store,
    now: datetime,
    number: int,
    for_good: bool,  # noqa: FBT001 -- a column of the table
) -> None:
    due, keys = now + 17 * HOUR, list[str]()

    def send(_address: str, message: Message) -> Answer:
        keys.append(message.key)
        return Answer("sent")

    disk_fails(planned.path, number, due, send, for_good=for_good)
    for wait in (1, 2, 3):
        ring(planned, due + wait * LEASE, UTC_ZONE, send)
    assert set(keys) == {"last-call/ferry/wind-1/1"}
    assert len(keys) <= 2
    assert planned.reading().execute("PRAGMA integrity_check").fetchone() == ("ok",)


def test_the_statements_of_a_ring_are_fewer_than_those_tried(planned: Store, now: datetime) -> None:
    assert not disk_fails(planned.path, STATEMENTS, now + 17 * HOUR, lambda *_: Answer("sent"), for_good=True)
