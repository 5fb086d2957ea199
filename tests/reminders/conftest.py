"""A webhook, and a collection with one watch to remind of."""

import threading
from collections.abc import Iterator
from datetime import datetime, timedelta

import pytest

import tests.reminders.mailplugin  # noqa: F401 -- loaded before any test
from tests.reminders.hook import Hook
from tests.reminders.mailbox import Mailbox
from tracker.reminders.outbox import replan
from tracker.reminders.plan import KeptWatch
from tracker.store.store import Store

HOUR = timedelta(hours=1)


@pytest.fixture
def hook() -> Iterator[Hook]:
    server = Hook()
    thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.01}, daemon=True)
    thread.start()
    yield server
    server.answering.set()
    server.shutdown()
    server.server_close()
    thread.join()


@pytest.fixture(autouse=True)
def _no_proxy(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_PROXY", "127.0.0.1")


@pytest.fixture
def ferry(now: datetime) -> KeptWatch:
    return KeptWatch("ferry", "Night ferry", "wind-1", now - 10 * HOUR, now + 20 * HOUR)


@pytest.fixture
def planned(store: Store, ferry: KeptWatch, now: datetime) -> Store:
    """A store with a last call for Night ferry, due 17 hours from now."""
    with store.change() as db:
        replan(db, [ferry], 3, now)
    return store


@pytest.fixture
def mailbox() -> Iterator[Mailbox]:
    server = Mailbox()
    thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.01}, daemon=True)
    thread.start()
    yield server
    server.shutdown()
    server.server_close()
    thread.join()
