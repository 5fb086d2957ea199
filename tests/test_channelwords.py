"""How channels are, in words."""

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from tests.reminders.channels import ADDED, FIRST, add
from tracker.channelwords import failing, how_it_is
from tracker.commands.base import Who
from tracker.commands.channel import PauseChannel
from tracker.commands.door import submit
from tracker.reminders.answer import Answer
from tracker.reminders.outbox import replan
from tracker.reminders.plan import KeptWatch
from tracker.reminders.ring import ring
from tracker.store import channels as shelf
from tracker.store.store import Store

ZONE = ZoneInfo("UTC")
DUE = ADDED + timedelta(hours=17)
NOON = datetime.fromisoformat("2026-11-26T12:00:00+00:00")


@pytest.fixture
def store_with_one(store: Store) -> Store:
    add(store, "Phone", "http://x", FIRST)
    with store.change() as db:
        replan(db, [KeptWatch("ferry", "Night ferry", "wind-1", ADDED, ADDED + timedelta(hours=20))], 3, ADDED)
    return store


def _said(store: Store) -> str:
    (channel,) = shelf.channels(store.reading())
    return how_it_is(store.reading(), channel, NOON, ZONE)


@pytest.mark.parametrize(
    ("answer", "said"),
    [
        (Answer("sent"), "in use; last sent today 00:25"),
        (Answer("refused", "Code 535."), "refused the last message: Code 535."),
        (Answer("failed", "Down."), "fails since today 00:25; tried again now"),
    ],
)
def test_how_the_last_message_fared_is_told(store_with_one: Store, answer: Answer, said: str) -> None:
    assert _said(store_with_one) == "in use; nothing sent yet"
    ring(store_with_one, DUE, ZONE, lambda *_: answer)
    assert _said(store_with_one) == said


def test_one_that_fails_is_told_of_until_it_is_paused(store_with_one: Store, who: Who) -> None:
    ring(store_with_one, NOON, ZONE, lambda *_: Answer("failed", "Down."))
    assert failing(store_with_one.reading(), NOON, ZONE) == ["Phone fails since today 12:00; tried again today 12:01."]
    submit(store_with_one, [PauseChannel(channel_uid=FIRST, paused=True)], who)
    assert failing(store_with_one.reading(), NOON, ZONE) == []
    assert _said(store_with_one) == "paused"
