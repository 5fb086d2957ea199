from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from tests.cuesaid import say_cue
from tests.reminders.channels import ring_to
from tracker import cues
from tracker.collection import owner
from tracker.commands.door import submit
from tracker.commands.register import RegisterWatch
from tracker.reminders.answer import Answer
from tracker.reminders.message import Message
from tracker.reminders.outbox import replan
from tracker.reminders.plan import KeptWatch
from tracker.reminders.shown import Shown, on_page
from tracker.store.store import Store
from tracker.uids import uid_of

HOUR = timedelta(hours=1)
UTC_ZONE = ZoneInfo("UTC")


def down(_address: str, _message: Message) -> Answer:
    return Answer("failed", "Down.")


def test_the_page_shows_what_is_due_though_the_channel_is_down(planned: Store, now: datetime) -> None:
    ring_to(planned, now + 17 * HOUR, "http://x", UTC_ZONE, down)
    assert on_page(planned.reading(), now + 17 * HOUR) == [Shown("ferry", "Night ferry", now + 20 * HOUR, late=False)]


def test_the_page_shows_nothing_before_its_moment(planned: Store, now: datetime) -> None:
    ring_to(planned, now + 16 * HOUR, "", UTC_ZONE, down)
    assert on_page(planned.reading(), now + 16 * HOUR) == []


def test_past_its_wind_by_it_is_late_and_a_day_later_gone(planned: Store, now: datetime) -> None:
    ring_to(planned, now + 17 * HOUR, "", UTC_ZONE, down)
    assert [each.late for each in on_page(planned.reading(), now + 21 * HOUR)] == [True]
    assert on_page(planned.reading(), now + 44 * HOUR) == []


def test_winding_takes_it_off_the_page(planned: Store, now: datetime) -> None:
    ring_to(planned, now + 17 * HOUR, "", UTC_ZONE, down)
    with planned.change() as db:
        replan(db, [KeptWatch("ferry", "Night ferry", "wind-2", now + 18 * HOUR, None)], 3, now + 18 * HOUR)
    assert on_page(planned.reading(), now + 18 * HOUR) == []


def test_a_watch_that_is_no_more_leaves_the_page(planned: Store, now: datetime) -> None:
    ring_to(planned, now + 17 * HOUR, "", UTC_ZONE, down)
    with planned.change() as db:
        replan(db, [], 3, now + 18 * HOUR, gone=["ferry"])
    assert on_page(planned.reading(), now + 18 * HOUR) == []


def test_a_cue_is_told_by_its_channel_and_not_on_the_round(store: Store, now: datetime) -> None:
    uid = uid_of("dora")
    submit(store, [RegisterWatch(uid=uid, nickname="Dora")], owner(store, "page", now))
    say_cue(store, uid, now)
    with store.change() as db:
        cues.retell(db, [uid], now)
    sent: list[Message] = []

    def up(_address: str, message: Message) -> Answer:
        sent.append(message)
        return Answer("sent")

    for _ in range(2):
        ring_to(store, now + 3 * HOUR, "http://x", UTC_ZONE, up)
    assert [message.title for message in sent] == ["Dora: keep an eye on it"]
    assert on_page(store.reading(), now + 3 * HOUR) == []
