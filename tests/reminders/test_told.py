from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from tests.cuesaid import say_cue
from tests.reminders.channels import ring_to
from tests.reminders.hook import Hook
from tracker import cues
from tracker.collection import owner
from tracker.commands.door import submit
from tracker.commands.register import RegisterWatch
from tracker.reminders import deliver
from tracker.reminders.answer import Answer
from tracker.reminders.message import Message
from tracker.reminders.outbox import replan
from tracker.reminders.plan import KeptWatch
from tracker.reminders.told import Sending, newest, to_come
from tracker.store.store import Store
from tracker.uids import uid_of

HOUR = timedelta(hours=1)
ZONE = ZoneInfo("UTC")


def down(_address: str, _message: Message) -> Answer:
    return Answer("failed", "Down.")


def test_what_is_planned_is_to_come_and_was_not_said(planned: Store, now: datetime) -> None:
    (each,) = to_come(planned.reading(), ZONE, now)
    assert (each.kind, each.state, each.sending) == ("last call", "planned", ())
    assert newest(planned.reading(), ZONE, now) == []


def test_what_was_sent_is_told_with_its_moment(planned: Store, now: datetime, hook: Hook) -> None:
    ring_to(planned, now + 17 * HOUR, hook.address, ZONE, deliver.send)
    (each,) = newest(planned.reading(), ZONE, now)
    assert each.message.title == "Wind Night ferry"
    assert each.sending == (Sending("first", "sent", now + 17 * HOUR, ""),)
    assert to_come(planned.reading(), ZONE, now) == []


def test_a_channel_that_is_down_says_why(planned: Store, now: datetime) -> None:
    ring_to(planned, now + 17 * HOUR, "http://x", ZONE, down)
    (each,) = newest(planned.reading(), ZONE, now)
    assert each.sending == (Sending("first", "waiting", None, "Down."),)


def test_what_was_withdrawn_is_told_too(planned: Store, now: datetime) -> None:
    with planned.change() as db:
        replan(db, [KeptWatch("ferry", "Night ferry", "wind-2", now + HOUR, None)], 3, now + HOUR)
    (each,) = newest(planned.reading(), ZONE, now)
    assert (each.state, each.changed_at) == ("withdrawn", now + HOUR)


def test_a_cue_is_told_in_its_own_words(store: Store, now: datetime) -> None:
    uid = uid_of("dora")
    submit(store, [RegisterWatch(uid=uid, nickname="Dora")], owner(store, "page", now))
    say_cue(store, uid, now)
    with store.change() as db:
        cues.retell(db, [uid], now)
    (each,) = to_come(store.reading(), ZONE, now)
    assert (each.kind, each.message.title) == ("cue", "Dora: keep an eye on it")
