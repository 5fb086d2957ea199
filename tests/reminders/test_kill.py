"""A real process killed with SIGKILL while it carries a reminder."""

import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from tests.reminders.channels import FIRST, add
from tests.reminders.hook import Hook
from tracker.reminders import deliver, outbox
from tracker.reminders.outbox import LEASE
from tracker.reminders.ring import ring
from tracker.store.rows import all_rows
from tracker.store.store import Store

HOUR = timedelta(hours=1)
SECOND = timedelta(seconds=1)
UTC_ZONE = ZoneInfo("UTC")
KEY = "last-call/ferry/wind-1/1"

RINGS = """
import datetime, pathlib, sys, zoneinfo
from tracker.reminders import deliver
from tracker.reminders.ring import ring
from tracker.store.store import Store
path, now = sys.argv[1:]
ring(Store(pathlib.Path(path)), datetime.datetime.fromisoformat(now), zoneinfo.ZoneInfo("UTC"), deliver.send)
"""


@contextmanager
def another_process(store: Store, now: datetime) -> Iterator[subprocess.Popen[bytes]]:
    """A process that rings the bell; it is waited for at the end."""
    arguments = [sys.executable, "-c", RINGS, str(store.path), now.isoformat()]
    with subprocess.Popen(arguments) as child:
        yield child


@pytest.fixture(autouse=True)
def _by_webhook(planned: Store, hook: Hook) -> None:
    add(planned, "first", hook.address, FIRST)


def killed_while_sending(store: Store, now: datetime, hook: Hook) -> None:
    """Ring in a process that dies after its message has arrived and before it hears so."""
    hook.answering.clear()
    with another_process(store, now) as child:
        assert hook.arrived.acquire(timeout=60)
        child.kill()
    hook.answering.set()


def states(store: Store) -> list[str]:
    rows = all_rows(store.reading(), "SELECT state FROM delivery WHERE channel != 'page'")
    return [row["state"] for row in rows]


def test_killed_between_claim_and_mark_it_is_sent_once_more_with_the_same_key(
    planned: Store, now: datetime, hook: Hook
) -> None:
    due = now + 17 * HOUR
    killed_while_sending(planned, due, hook)
    assert states(planned) == ["claimed"]
    ring(planned, due + SECOND, UTC_ZONE, deliver.send)
    assert hook.keys == [KEY]
    for wait in (LEASE, 2 * LEASE, 3 * LEASE):
        ring(planned, due + wait, UTC_ZONE, deliver.send)
    assert hook.keys == [KEY, KEY]
    assert states(planned) == ["possibly twice"]


def test_killed_before_anything_was_sent_nothing_is_lost(planned: Store, now: datetime, hook: Hook) -> None:
    due = now + 17 * HOUR
    with planned.change() as db:
        outbox.make_due(db, due)
        outbox.claim(db, due, FIRST)
    ring(planned, due + LEASE, UTC_ZONE, deliver.send)
    assert hook.keys == [KEY]


def test_killed_twice_it_is_left_alone(planned: Store, now: datetime, hook: Hook) -> None:
    due = now + 17 * HOUR
    killed_while_sending(planned, due, hook)
    killed_while_sending(planned, due + LEASE, hook)
    ring(planned, due + 2 * LEASE, UTC_ZONE, deliver.send)
    assert hook.keys == [KEY, KEY]
    assert states(planned) == ["possibly twice"]


def test_a_claim_left_by_a_clock_since_set_back_is_taken_up(planned: Store, now: datetime, hook: Hook) -> None:
    killed_while_sending(planned, now + 19 * HOUR, hook)
    ring(planned, now + 17 * HOUR, UTC_ZONE, deliver.send)
    assert hook.keys == [KEY, KEY]


def test_two_processes_at_once_send_once(planned: Store, now: datetime, hook: Hook) -> None:
    due = now + 17 * HOUR
    hook.answering.clear()
    with another_process(planned, due):
        assert hook.arrived.acquire(timeout=60)
        with another_process(planned, due) as other:
            assert other.wait(timeout=60) == 0
        hook.answering.set()
    assert hook.keys == [KEY]
    assert states(planned) == ["sent"]
