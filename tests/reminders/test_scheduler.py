import threading
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from tests.reminders.channels import add
from tracker import clock
from tracker.commands.base import Who
from tracker.commands.door import submit
from tracker.commands.settings import ChangeSettings
from tracker.reminders import scheduler
from tracker.reminders.answer import Answer
from tracker.reminders.message import Message
from tracker.reminders.scheduler import Bell, Reading, jumped, read_clocks
from tracker.store.store import Store
from tracker.words import Formats, speech

HOUR = timedelta(hours=1)
START = Reading(datetime(2026, 3, 28, 23, 0, tzinfo=UTC), 100.0)


@dataclass
class Clocks:
    wall: datetime
    monotonic_s: float = 1000.0


@pytest.fixture
def clocks(now: datetime, monkeypatch: pytest.MonkeyPatch) -> Clocks:
    both = Clocks(now)
    monkeypatch.setattr(clock, "now", lambda: both.wall)
    monkeypatch.setattr(clock, "monotonic_s", lambda: both.monotonic_s)
    return both


@pytest.fixture
def rings(monkeypatch: pytest.MonkeyPatch) -> threading.Semaphore:
    """Released once for each ring; nothing else happens at one."""
    heard = threading.Semaphore(0)

    def ring(*_: object) -> bool:
        heard.release()
        return False

    monkeypatch.setattr(scheduler, "ring", ring)
    return heard


@pytest.fixture
def bell(store: Store) -> Iterator[Bell]:
    made = Bell(store)
    yield made
    made.stop()


def later(seconds: float, monotonic_s: float) -> Reading:
    return Reading(START.wall + timedelta(seconds=seconds), START.monotonic_s + monotonic_s)


@pytest.mark.parametrize(
    ("after", "is_jump"),
    [
        (later(5, 5), False),
        (later(5.5, 5), False),
        (later(3600, 3600), False),
        (later(5 - 2 * 3600, 5), True),
        (later(5 + 3 * 86400, 5), True),
        (later(8 * 3600, 5), True),
    ],
    ids=["nothing", "slewed", "late", "set back", "set on", "slept"],
)
def test_a_jump_is_where_the_two_clocks_disagree(after: Reading, is_jump: bool) -> None:  # noqa: FBT001 -- a column of the table
    assert jumped(START, after) is is_jump


@pytest.mark.usefixtures("clocks")
def test_it_rings_as_soon_as_it_starts(bell: Bell, rings: threading.Semaphore) -> None:
    bell.start()
    assert rings.acquire(timeout=15)


@pytest.mark.parametrize("by", [-2 * HOUR, 72 * HOUR])
def test_it_rings_when_the_clock_is_set(clocks: Clocks, rings: threading.Semaphore, bell: Bell, by: timedelta) -> None:
    bell.start()
    assert rings.acquire(timeout=15)
    far_off = datetime(2100, 1, 1, tzinfo=UTC)
    bell._scheduler.modify_job("heartbeat", next_run_time=far_off)
    before = read_clocks()
    clocks.wall += by
    bell.look(before)
    assert rings.acquire(timeout=15)
    assert bell._scheduler.get_job("heartbeat").next_run_time < far_off


@pytest.mark.usefixtures("clocks")
def test_clocks_that_agree_ring_nothing(bell: Bell, rings: threading.Semaphore) -> None:
    before = read_clocks()
    assert bell.look(before) == before
    assert not rings.acquire(blocking=False)


def test_of_two_bells_one_rings_and_the_other_follows_it(
    store: Store, bell: Bell, clocks: Clocks, rings: threading.Semaphore
) -> None:
    first, second = Bell(store), bell
    first.start()
    assert rings.acquire(timeout=15)
    second.ring()
    assert second.last_rung() is None
    first.stop()
    second.ring()
    assert second.last_rung() == clocks.wall


@pytest.mark.usefixtures("clocks")
def test_a_ring_that_fails_leaves_the_next_one_to_ring(bell: Bell, monkeypatch: pytest.MonkeyPatch) -> None:
    outcomes: list[Exception | bool] = [OSError("disk"), False]

    def ring(*_: object) -> bool:
        outcome = outcomes.pop(0)
        if isinstance(outcome, Exception):
            raise outcome
        return outcome

    monkeypatch.setattr(scheduler, "ring", ring)
    bell.ring()
    assert bell.last_rung() is None
    bell.ring()
    assert bell.last_rung() is not None


def test_it_reads_the_owners_zone_anew_each_time(
    store: Store, bell: Bell, who: Who, clocks: Clocks, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: list[tuple[datetime, str]] = []

    def ring(_store: Store, now: datetime, zone: ZoneInfo, _send: object) -> bool:
        seen.append((now, zone.key))
        return False

    monkeypatch.setattr(scheduler, "ring", ring)
    bell.ring()
    submit(store, [ChangeSettings(zone="Asia/Kathmandu")], who)
    bell.ring()
    assert seen[1:] == [(clocks.wall, "Asia/Kathmandu")]


def test_it_speaks_as_the_owner_chose(store: Store, bell: Bell, who: Who, monkeypatch: pytest.MonkeyPatch) -> None:
    spoken = list[Formats]()

    def ring(*_: object) -> bool:
        spoken.append(speech().formats)
        return False

    monkeypatch.setattr(scheduler, "ring", ring)
    submit(store, [ChangeSettings(clock="12 h", decimal="comma")], who)
    with ThreadPoolExecutor() as pool:  # a thread of its own, as in the program
        pool.submit(bell.ring).result()
    assert spoken == [Formats(clock="12 h", decimal="comma")]
    assert speech().formats == Formats()


def test_what_came_due_while_nobody_looked_is_sent_at_the_start(planned: Store, clocks: Clocks, now: datetime) -> None:
    add(planned, "first", "http://127.0.0.1:1/x")
    clocks.wall = now + 18 * HOUR
    arrived, messages = threading.Event(), list[Message]()

    def send(_address: str, message: Message) -> Answer:
        messages.append(message)
        arrived.set()
        return Answer("sent")

    bell = Bell(planned, send=send)
    bell.start()
    assert arrived.wait(timeout=15)
    bell.stop()
    assert [message.title for message in messages] == ["Wind Night ferry"]


def test_what_is_to_be_told_is_looked_at_after_every_change_and_now_and_then(
    store: Store, who: Who, clocks: Clocks, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(scheduler, "ring", lambda *_: False)
    looks = list[tuple[datetime, datetime | None]]()
    bell, first, other = (
        Bell(store, before=lambda _, now, looked: looks.append((now, looked))),
        clocks.wall,
        Store(store.path),
    )
    for _ in range(2):
        bell.ring()
    assert looks == [(first, None)]
    submit(other, [ChangeSettings(zone="Asia/Kathmandu")], who)
    other.close()
    bell.ring()
    assert looks[1:] == [(first, first)]
    clocks.wall += scheduler.LOOKS
    bell.ring()
    assert looks[2:] == [(clocks.wall, first)]
    bell.stop()


def test_a_look_that_fails_holds_up_no_reminder(store: Store, clocks: Clocks, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(scheduler, "ring", lambda *_: False)

    def broken(*_: object) -> None:
        raise OSError("disk")

    bell = Bell(store, before=broken)
    bell.ring()
    assert bell.last_rung() == clocks.wall
    bell.stop()
