"""Channels by command: no command and no record of one holds an address."""

from datetime import timedelta

import pytest

from tests.reminders.channels import add, remove
from tracker.commands.base import Who
from tracker.commands.channel import RemoveChannel
from tracker.commands.door import submit
from tracker.commands.undo import Undo
from tracker.errors import Conflict
from tracker.store import channels
from tracker.store.store import Store

SECRET = "https://hook.example/s3cret"  # noqa: S105 -- of a test


def test_no_record_holds_the_address(store: Store) -> None:
    uid = add(store, "Phone", SECRET)
    remove(store, uid)
    log = store.reading().execute("SELECT * FROM command_log").fetchall()
    assert len(log) == 2
    assert "s3cret" not in str(log)


def test_a_removed_channel_comes_back_whole_by_undo(store: Store, who: Who) -> None:
    uid = add(store, "Phone", SECRET)
    submit(store, [RemoveChannel(channel_uid=uid)], who)
    assert channels.channels(store.reading()) == []
    submit(store, [Undo()], who)
    assert [each.name for each in channels.channels(store.reading())] == ["Phone"]
    assert channels.address_of(store.reading(), uid) == SECRET


def test_a_day_later_its_address_is_forgotten_and_it_can_not_come_back(store: Store, who: Who) -> None:
    uid = add(store, "Phone", SECRET)
    submit(store, [RemoveChannel(channel_uid=uid)], who)
    with store.change() as db:
        channels.forget_removed(db, who.now + timedelta(seconds=1))
    with pytest.raises(Conflict) as caught:
        submit(store, [Undo()], who)
    assert caught.value.sentence == "This can't be undone: the address was forgotten. Add the channel again."
    assert channels.channels(store.reading()) == []
    assert "s3cret" not in "".join(store.reading().conn.iterdump())


def test_what_was_added_and_taken_back_leaves_no_address(store: Store, who: Who) -> None:
    uid = add(store, "Phone", SECRET)
    submit(store, [Undo()], who)
    with store.change() as db:
        channels.forget_removed(db, who.now - timedelta(days=1))
    assert channels.address_of(store.reading(), uid) == ""


def test_its_name_is_free_again_once_it_is_removed(store: Store) -> None:
    remove(store, add(store, "Phone", SECRET))
    add(store, "Phone", SECRET, "01936f4e-5c00-7000-8000-000000000000")
    assert [each.name for each in channels.channels(store.reading())] == ["Phone"]


def test_an_address_laid_down_for_nothing_goes_with_the_next(store: Store, who: Who) -> None:
    uid = add(store, "Phone", SECRET)
    with store.change() as db:
        channels.keep_address(db, "orphan", SECRET)
        channels.keep_address(db, "next", SECRET)
    assert not channels.holds_address(store.reading(), "orphan")
    with store.change() as db:
        channels.forget_removed(db, who.now + timedelta(days=99))
    assert channels.address_of(store.reading(), uid) == SECRET
