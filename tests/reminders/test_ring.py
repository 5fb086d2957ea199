import threading
from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from tests.reminders.channels import FIRST, add, remove, ring_to
from tests.reminders.hook import Hook
from tests.reminders.mailbox import Mailbox
from tracker.commands.base import Who
from tracker.commands.channel import PauseChannel
from tracker.commands.door import submit
from tracker.reminders import deliver, outbox
from tracker.reminders.answer import Answer
from tracker.reminders.message import Message
from tracker.reminders.outbox import replan
from tracker.reminders.plan import KeptWatch
from tracker.reminders.ring import SENDS_A_RING, ring
from tracker.store import channels as shelf
from tracker.store.rows import all_rows
from tracker.store.store import Store

HOUR = timedelta(hours=1)
MINUTE = timedelta(minutes=1)
LONDON = ZoneInfo("Europe/London")
KEY = "last-call/ferry/wind-1/1"


def wound(watch: KeptWatch, at: datetime) -> KeptWatch:
    return KeptWatch(watch.watch_uid, watch.nickname, "wind-2", at, at + 40 * HOUR)


def ring_at(store: Store, now: datetime, hook: Hook) -> None:
    ring_to(store, now, hook.address, LONDON, deliver.send)


def message_row(store: Store) -> dict[str, Any]:
    (row,) = all_rows(store.reading(), "SELECT * FROM delivery WHERE channel != 'page'")
    return row


def test_a_last_call_is_sent_once(planned: Store, now: datetime, hook: Hook) -> None:
    ring_at(planned, now + 16 * HOUR, hook)
    assert hook.got == []
    for minutes in (0, 1, 2):
        ring_at(planned, now + 17 * HOUR + minutes * MINUTE, hook)
    (message,) = hook.got
    assert (message["title"], message["message"], message["key"]) == (
        "Wind Night ferry",
        "Night ferry: wind by today 03:25, in 3 h.",
        KEY,
    )
    assert message_row(planned)["state"] == "sent"


def test_a_watch_wound_before_its_moment_is_not_spoken_of(
    planned: Store, ferry: KeptWatch, now: datetime, hook: Hook
) -> None:
    with planned.change() as db:
        replan(db, [wound(ferry, now + 16 * HOUR)], 3, now + 16 * HOUR)
    ring_at(planned, now + 18 * HOUR, hook)
    assert hook.got == []


def test_a_watch_wound_while_the_channel_was_down_is_not_spoken_of(
    planned: Store, ferry: KeptWatch, now: datetime, hook: Hook
) -> None:
    hook.status = 503
    ring_at(planned, now + 17 * HOUR, hook)
    with planned.change() as db:
        replan(db, [wound(ferry, now + 18 * HOUR)], 3, now + 18 * HOUR)
    ring_at(planned, now + 19 * HOUR, hook)
    assert len(hook.got) == 1


def test_a_watch_wound_between_claim_and_send_is_not_spoken_of(planned: Store, ferry: KeptWatch, now: datetime) -> None:
    due = now + 17 * HOUR
    add(planned, "first", "http://x", FIRST)
    with planned.change() as db:
        outbox.make_due(db, due)
        claim = outbox.claim(db, due, FIRST)
    assert claim is not None
    with planned.change() as db:
        replan(db, [wound(ferry, due)], 3, due)
    with planned.change() as db:
        assert outbox.look_again(db, claim, due, LONDON) is None
    assert (message_row(planned)["state"], message_row(planned)["tries"]) == ("waiting", 0)


def test_what_an_undo_makes_true_again_is_sent_after_all(
    planned: Store, ferry: KeptWatch, now: datetime, hook: Hook
) -> None:
    hook.status = 503
    ring_at(planned, now + 17 * HOUR, hook)
    for watch in (wound(ferry, now + 17 * HOUR), ferry):
        with planned.change() as db:
            replan(db, [watch], 3, now + 17 * HOUR)
    hook.status = 200
    ring_at(planned, now + 17 * HOUR + 5 * MINUTE, hook)
    assert message_row(planned)["state"] == "sent"


def test_a_channel_that_was_down_is_tried_again_less_and_less_often(planned: Store, now: datetime, hook: Hook) -> None:
    hook.status = 503
    due, tried = now + 17 * HOUR, []
    for minutes in range(60):
        before = len(hook.got)
        ring_at(planned, due + minutes * MINUTE, hook)
        tried += [minutes] * (len(hook.got) - before)
    assert tried == [0, 1, 3, 8, 23, 53]
    assert message_row(planned)["last_error"] == "The channel answered with status 503."
    hook.status = 200
    ring_at(planned, due + 2 * HOUR, hook)
    assert message_row(planned)["state"] == "sent"
    assert set(hook.keys) == {KEY}


def test_a_channel_that_is_down_for_a_day_loses_nothing_that_is_still_true_and_says_nothing_else(
    store: Store, ferry: KeptWatch, now: datetime, hook: Hook, mailbox: Mailbox
) -> None:
    hook.status = 503
    mail = add(store, "mail", mailbox.address)
    pier = KeptWatch("pier", "Pier", "wind-9", now, now + 42 * HOUR)
    with store.change() as db:
        replan(db, [ferry, pier], 3, now)
    for hours in range(17, 41):
        ring_at(store, now + hours * HOUR, hook)
        if hours == 30:
            with store.change() as db:
                replan(db, [wound(ferry, now + 30 * HOUR)], 3, now + 30 * HOUR)
    assert [str(mail.get_payload()).strip() for mail in mailbox.got] == [
        "Night ferry: wind by today 03:25, in 3 h.",
        "Pier: wind by tomorrow 01:25, in 3 h.",
    ]
    tried, hook.status = len(hook.got), 200
    ring_at(store, now + 41 * HOUR, hook)
    assert hook.keys[tried:] == ["last-call/pier/wind-9/1"]
    assert shelf.rest_of(store.reading(), FIRST) is None
    assert shelf.rest_of(store.reading(), mail) is None


def test_a_channel_that_hangs_delays_no_other(planned: Store, now: datetime) -> None:
    other_sent = threading.Event()

    def send(address: str, _message: Message) -> Answer:
        if address == "http://other":
            other_sent.set()
            return Answer("sent")
        return Answer("unanswered" if other_sent.wait(60) else "sent", "No answer.")

    add(planned, "first", "http://x", FIRST)
    add(planned, "other", "http://other")
    ring(planned, now + 17 * HOUR, LONDON, send)
    rows = all_rows(planned.reading(), "SELECT state FROM delivery WHERE channel != 'page' ORDER BY state")
    assert [row["state"] for row in rows] == ["sent", "waiting"]


def test_a_channel_that_fails_keeps_all_its_messages_waiting(store: Store, now: datetime, hook: Hook) -> None:
    hook.status = 503
    watches = [KeptWatch(f"w{n}", f"No {n}", f"wind-{n}", now, now + (20 + n) * HOUR) for n in range(2)]
    with store.change() as db:
        replan(db, watches, 3, now)
    for minutes in range(0, 90, 10):
        ring_at(store, now + 17 * HOUR + minutes * MINUTE, hook)
    tried = len(hook.got)
    ring_at(store, now + 18 * HOUR + 31 * MINUTE, hook)
    assert (len(hook.got) - tried, tried) == (0, 6)


def test_a_paused_channel_says_on_going_on_what_is_still_true(
    planned: Store, now: datetime, hook: Hook, who: Who
) -> None:
    add(planned, "first", hook.address, FIRST)
    submit(planned, [PauseChannel(channel_uid=FIRST, paused=True)], who)
    ring_at(planned, now + 17 * HOUR, hook)
    assert hook.got == []
    submit(planned, [PauseChannel(channel_uid=FIRST, paused=False)], who)
    ring_at(planned, now + 18 * HOUR, hook)
    assert hook.keys == [KEY]


def test_a_removed_channel_is_sent_nothing_and_its_address_is_forgotten(
    planned: Store, now: datetime, hook: Hook
) -> None:
    add(planned, "first", hook.address, FIRST)
    remove(planned, FIRST)
    ring(planned, now + 17 * HOUR, LONDON, deliver.send)
    assert shelf.address_of(planned.reading(), FIRST) == hook.address
    ring(planned, now + 25 * HOUR, LONDON, deliver.send)
    assert shelf.address_of(planned.reading(), FIRST) == ""
    assert hook.got == []


def test_a_refusal_is_final(planned: Store, now: datetime, hook: Hook) -> None:
    hook.status = 401
    for hours in (17, 18, 19):
        ring_at(planned, now + hours * HOUR, hook)
    assert len(hook.got) == 1
    assert message_row(planned)["state"] == "given up"


def test_no_answer_is_followed_by_one_repeat_and_no_more(planned: Store, now: datetime) -> None:
    keys: list[str] = []

    def silent(_address: str, message: Message) -> Answer:
        keys.append(message.key)
        return Answer("unanswered", "No answer.")

    for hours in (17, 18, 19, 20):
        ring_to(planned, now + hours * HOUR, "http://x", LONDON, silent)
    assert keys == [KEY, KEY]
    assert message_row(planned)["state"] == "possibly twice"


def test_a_channel_that_throws_is_recorded_and_tried_again(planned: Store, now: datetime, hook: Hook) -> None:
    def broken(address: str, _message: Message) -> Answer:
        raise RuntimeError(address)

    ring_to(planned, now + 17 * HOUR, "http://name:secret@x", LONDON, broken)
    assert message_row(planned)["last_error"] == "The channel broke down (RuntimeError)."
    ring_at(planned, now + 18 * HOUR, hook)
    assert hook.keys == [KEY]


def test_without_an_address_a_message_waits_for_one(planned: Store, now: datetime, hook: Hook) -> None:
    assert not ring_to(planned, now + 17 * HOUR, "", LONDON, deliver.send)
    ring_at(planned, now + 18 * HOUR, hook)
    assert hook.keys == [KEY]


@pytest.mark.parametrize("failing", [1, 3])
def test_one_message_that_fails_does_not_hold_up_the_others_for_good(store: Store, now: datetime, failing: int) -> None:
    watches = [KeptWatch(f"w{n}", f"No {n}", f"wind-{n}", now, now + 20 * HOUR) for n in range(4)]
    sent: list[str] = []

    def send(_address: str, message: Message) -> Answer:
        if message.title == f"Wind No {failing}":
            return Answer("failed", "No.")
        sent.append(message.title)
        return Answer("sent")

    with store.change() as db:
        replan(db, watches, 3, now)
    for minutes in (0, 1):
        ring_to(store, now + 17 * HOUR + minutes * MINUTE, "http://x", LONDON, send)
    assert sorted(sent) == [f"Wind No {n}" for n in range(4) if n != failing]


def test_many_messages_are_sent_ring_by_ring(store: Store, now: datetime) -> None:
    watches = [KeptWatch(f"w{n}", f"No {n}", f"wind-{n}", now, now + 20 * HOUR) for n in range(SENDS_A_RING + 2)]
    sent: list[str] = []

    def send(_address: str, message: Message) -> Answer:
        sent.append(message.key)
        return Answer("sent")

    with store.change() as db:
        replan(db, watches, 3, now)
    assert ring_to(store, now + 17 * HOUR, "http://x", LONDON, send)
    assert not ring_to(store, now + 17 * HOUR, "http://x", LONDON, send)
    assert len(set(sent)) == len(sent) == SENDS_A_RING + 2


def both(one: Callable[[], None], other: Callable[[], None]) -> None:
    threads = [threading.Thread(target=act) for act in (one, other)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()


def test_two_rings_at_once_send_once(planned: Store, now: datetime, hook: Hook) -> None:
    hook.answering.clear()
    second = Store(planned.path)

    def first() -> None:
        ring_at(planned, now + 17 * HOUR, hook)

    def other() -> None:
        hook.arrived.acquire(timeout=30)
        ring_at(second, now + 17 * HOUR, hook)
        hook.answering.set()

    both(first, other)
    second.close()
    assert hook.keys == [KEY]
    assert message_row(planned)["state"] == "sent"


def test_a_clock_set_back_two_hours_doubles_nothing_and_loses_nothing(
    store: Store, ferry: KeptWatch, now: datetime, hook: Hook
) -> None:
    pier = KeptWatch("pier", "Pier", "wind-9", now, now + 22 * HOUR)
    with store.change() as db:
        replan(db, [ferry, pier], 3, now)
    for hours in (17, 18, 16, 17, 18, 19, 20):
        ring_at(store, now + hours * HOUR, hook)
    assert hook.keys == [KEY, "last-call/pier/wind-9/1"]


def test_a_try_put_off_by_a_clock_that_was_wrong_is_made_now(planned: Store, now: datetime, hook: Hook) -> None:
    hook.status = 503
    ring_at(planned, now + 19 * HOUR, hook)
    hook.status = 200
    ring_at(planned, now + 17 * HOUR, hook)
    assert message_row(planned)["state"] == "sent"


def test_three_days_later_nothing_is_said_that_no_longer_helps(planned: Store, now: datetime, hook: Hook) -> None:
    ring_at(planned, now + 72 * HOUR, hook)
    assert hook.got == []


def test_a_clock_wrongly_three_days_ahead_loses_nothing_once_it_is_set_right(
    planned: Store, now: datetime, hook: Hook
) -> None:
    ring_at(planned, now + 72 * HOUR, hook)
    ring_at(planned, now + 17 * HOUR, hook)
    assert hook.keys == [KEY]


def test_a_machine_that_slept_past_the_wind_by_says_what_is_true_then(
    planned: Store, now: datetime, hook: Hook
) -> None:
    ring_at(planned, now + 25 * HOUR, hook)
    assert hook.got[0]["message"] == "Night ferry may have stopped today at about 03:25."
