"""A reminder put off is told once more, by every channel, and by none before."""

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from tests.reminders.channels import add
from tests.reminders.duly import last_call
from tracker.commands.base import Who
from tracker.commands.door import submit
from tracker.commands.putoff import PutOff
from tracker.commands.undo import Undo
from tracker.reminders.answer import Answer
from tracker.reminders.message import Message
from tracker.reminders.outbox import replan
from tracker.reminders.plan import KeptWatch
from tracker.reminders.ring import ring
from tracker.reminders.told import newest
from tracker.store.store import Store
from tracker.uids import uid_of

HOUR = timedelta(hours=1)
ZONE = ZoneInfo("UTC")
CALL = uid_of("call")


class Post:
    """Rings, and keeps what each channel was sent."""

    def __init__(self, store: Store) -> None:
        self.store = store
        self.got: list[tuple[str, str]] = []
        self.down: set[str] = set()

    def send(self, address: str, message: Message) -> Answer:
        if address in self.down:
            return Answer("failed", "Down.")
        self.got.append((address, message.key.rpartition("/")[2]))
        return Answer("sent")

    def ring(self, now: datetime) -> list[tuple[str, str]]:
        """What is sent by now, and was not before."""
        before = len(self.got)
        while ring(self.store, now, ZONE, self.send):
            pass
        return sorted(self.got[before:])


@pytest.fixture
def post(store: Store, now: datetime) -> Post:
    add(store, "a", "http://a")
    add(store, "b", "http://b")
    last_call(store, CALL, now, watch_uid="ferry")
    return Post(store)


def _put_off(post: Post, who: Who, now: datetime, until: datetime) -> None:
    submit(
        post.store,
        [PutOff(reminder_uid=CALL, until=until)],
        Who(person_uid=who.person_uid, origin="message", now=now, zone="UTC"),
    )


def test_it_is_told_again_once_by_each_channel_when_the_time_has_come(post: Post, who: Who, now: datetime) -> None:
    assert post.ring(now) == [("http://a", "1"), ("http://b", "1")]
    _put_off(post, who, now, now + HOUR)
    assert post.ring(now + HOUR / 2) == []
    (told,) = newest(post.store.reading(), ZONE, now + HOUR / 2)
    assert told.put_off_until == now + HOUR
    assert post.ring(now + HOUR) == [("http://a", "again-1"), ("http://b", "again-1")]
    assert post.ring(now + 2 * HOUR) == []
    (told,) = newest(post.store.reading(), ZONE, now + 2 * HOUR)
    assert (told.put_off_until, told.telling) == (None, 2)


def test_a_channel_that_has_not_told_it_yet_tells_it_once_in_all(post: Post, who: Who, now: datetime) -> None:
    post.down = {"http://b"}
    post.ring(now)
    _put_off(post, who, now, now + HOUR)
    post.down = set()
    assert post.ring(now + HOUR / 2) == []
    assert post.ring(now + HOUR) == [("http://a", "again-1"), ("http://b", "again-1")]
    assert post.ring(now + 2 * HOUR) == []


def test_wound_meanwhile_it_is_not_told_again(post: Post, who: Who, now: datetime) -> None:
    post.ring(now)
    _put_off(post, who, now, now + HOUR)
    with post.store.change() as db:
        db.execute("UPDATE reminder SET state = 'closed', closed_by = 'wound'")
    assert post.ring(now + HOUR) == []


def test_put_off_twice_it_is_told_a_third_time(post: Post, who: Who, now: datetime) -> None:
    post.ring(now)
    _put_off(post, who, now, now + HOUR / 2)
    post.ring(now + HOUR / 2)
    _put_off(post, who, now + HOUR / 2, now + HOUR)
    assert post.ring(now + HOUR) == [("http://a", "again-2"), ("http://b", "again-2")]


def test_taken_back_it_is_not_told_again_and_may_be_put_off_anew(post: Post, who: Who, now: datetime) -> None:
    post.ring(now)
    for _ in range(2):
        _put_off(post, who, now, now + HOUR)
        submit(post.store, [Undo()], who)
    assert post.ring(now + HOUR) == []
    _put_off(post, who, now + HOUR, now + 2 * HOUR)
    assert post.ring(now + 2 * HOUR) == [("http://a", "again-3"), ("http://b", "again-3")]


def test_a_clock_set_back_tells_nothing_twice(post: Post, who: Who, now: datetime) -> None:
    post.ring(now)
    _put_off(post, who, now, now + HOUR)
    post.ring(now + HOUR)
    for hours in (0, 0.5, 1, 2):
        assert post.ring(now + hours * HOUR) == []


def test_of_another_reminder_it_says_nothing(post: Post, who: Who, now: datetime) -> None:
    _put_off(post, who, now, now + HOUR)
    with post.store.change() as db:
        replan(db, [KeptWatch("pier", "Pier", "wind-9", now - HOUR, now + HOUR)], 3, now)
    assert [address for address, _ in post.ring(now)] == ["http://a", "http://b"]
