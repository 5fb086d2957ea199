"""The one transaction in which commands are applied."""

from collections.abc import Callable
from typing import Any

import pytest

from tracker.commands.base import Command, Who
from tracker.commands.door import Done, submit
from tracker.commands.register import RegisterWatch
from tracker.commands.undo import Undo
from tracker.errors import BadInput, Conflict
from tracker.store import register
from tracker.store.store import Store
from tracker.uids import uid_of

A, B, C = (RegisterWatch(uid=uid_of(name), nickname=name) for name in ("Anna", "Berta", "Clara"))


def test_a_batch_is_kept_whole_or_not_at_all(store: Store, who: Who, as_read: Callable[[Store], Any]) -> None:
    before = as_read(store)
    with pytest.raises(BadInput):
        submit(store, [A, B, RegisterWatch(nickname="anna")], who)
    assert as_read(store) == before
    assert store.reading().execute("SELECT count(*) FROM command_log").fetchone() == (0,)


def test_a_batch_is_named_after_its_first_command(store: Store, who: Who) -> None:
    assert submit(store, [A, B], who) == Done(A.uid, applied=2, repeated=0)


def test_a_command_twice_in_one_batch_is_one_change(store: Store, who: Who) -> None:
    assert submit(store, [A, A], who) == Done(A.uid, applied=1, repeated=1)


def test_what_another_batch_did_stays_its_own(store: Store, who: Who) -> None:
    submit(store, [A, B], who)
    assert submit(store, [A, C], who) == Done(C.uid, applied=1, repeated=1)
    submit(store, [Undo()], who)
    assert {watch.nickname for watch in register.watches(store.reading())} == {"Anna", "Berta"}


def test_a_repetition_tells_the_batch_it_was_given_in(store: Store, who: Who) -> None:
    submit(store, [A, B], who)
    assert submit(store, [B], who) == Done(A.uid, applied=0, repeated=1)


def test_a_uid_names_one_kind_of_change(store: Store, who: Who) -> None:
    submit(store, [A], who)
    with pytest.raises(Conflict, match=r"^This uid already names another change; nothing was saved\.$"):
        submit(store, [Undo(uid=A.uid)], who)


def test_a_command_without_a_way_to_apply_itself_is_an_error_of_ours(store: Store, who: Who) -> None:
    with pytest.raises(NotImplementedError):
        submit(store, [Command()], who)


def test_every_change_is_counted_on_the_watches_it_touches(store: Store, who: Who) -> None:
    submit(store, [A, B], who)
    submit(store, [Undo()], who)
    assert register.log_counters(store.reading()) == {A.uid: 2, B.uid: 2}
