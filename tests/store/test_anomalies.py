"""The n-th statement fails, for n = 1, 2, … until the change passes: once, and for good.

Of a new file, whose hundreds of statements are one like the other, it is every eleventh, of a change every third; each with
GOING_EXAMPLES.
"""

import os
import shutil
import signal
import sqlite3
from collections.abc import Callable, Collection, Iterator, Sequence
from contextlib import suppress
from datetime import datetime
from functools import lru_cache, partial
from itertools import count
from pathlib import Path
from typing import Any

import pytest

from tests.cuesaid import say_cue
from tests.derived import check_cache
from tests.reminders.duly import last_call
from tests.thorough import THOROUGH
from tracker import derive, workedout
from tracker.collection import open_collection, owner
from tracker.commands.base import Command, Who
from tracker.commands.channel import AddChannel
from tracker.commands.cue import AcknowledgeCue
from tracker.commands.door import submit
from tracker.commands.log import LogService, LogSighting, LogWear, LogWind, LogWinder, VoidEntry
from tracker.commands.photograph import AttachPhotograph
from tracker.commands.putoff import PutOff
from tracker.commands.register import ArchiveWatch, EditWatch, RegisterWatch
from tracker.commands.settings import ChangeSettings
from tracker.commands.undo import Undo
from tracker.errors import Unavailable
from tracker.store.channels import keep_address
from tracker.store.store import Store
from tracker.uids import uid_of

A, B, NEW = uid_of("a"), uid_of("b"), uid_of("new")
CALL, PHONE = uid_of("last call"), uid_of("its address")
FIRST, SECOND = uid_of("first wind"), uid_of("second wind")
OPENING = 4
"""Statements it takes to open a connection."""
OF_A_NEW_FILE, OF_A_CHANGE = (1, 1) if THOROUGH else (11, 3)
SAID = "Nothing was saved in going.db: the disk fails. Try again."


def _wind(uid: str, watch: str = A, **more: Any) -> LogWind:
    return LogWind.model_validate({"uid": uid, "watch_uid": watch, "at": "2026-11-24T07:00Z", "zone": "UTC"} | more)


def _seen(uid: str) -> LogSighting:
    return LogSighting.model_validate(
        {"uid": uid, "watch_uid": B, "at": "2026-11-24T08:00Z", "zone": "UTC", "seen": "stopped", "shown": "4:37"}
    )


CHANGES: dict[str, Sequence[Command]] = {
    "register": [RegisterWatch(uid=NEW, nickname="Clara")],
    "register many": [RegisterWatch(uid=uid_of("many", str(i)), nickname=f"Watch {i}") for i in range(4)],
    "wind": [_wind(NEW)],
    "batch of winds": [_wind(uid_of("batch", str(i)), (A, B)[i % 2]) for i in range(5)],
    "wind that replaces": [_wind(NEW, replaces=SECOND)],
    "sighting": [_seen(NEW)],
    "wear": [LogWear.model_validate({"uid": NEW, "watch_uid": A, "at": "2026-11-24T07:00Z", "zone": "UTC", "act": "put on"})],
    "winder": [LogWinder.model_validate({"uid": NEW, "watch_uid": A, "at": "2026-11-24T07:00Z", "zone": "UTC", "act": "on"})],
    "service": [LogService.model_validate({"uid": NEW, "watch_uid": A, "at": "2026-11-24T07:00Z", "zone": "UTC"})],
    "edit": [EditWatch(uid=NEW, watch_uid=A, nickname="Anna Maria", version=1)],
    "archive": [ArchiveWatch(uid=NEW, watch_uid=A)],
    "known": [AcknowledgeCue(uid=NEW, watch_uid=B)],
    "put off": [PutOff(uid=NEW, reminder_uid=CALL, until="2026-11-25T09:00Z")],  # type: ignore[arg-type]  # as it is written
    "channel": [AddChannel(uid=NEW, name="Phone", address_uid=PHONE)],
    "photograph": [_seen(NEW), AttachPhotograph(entry_uid=NEW, sha256="0" * 64, media_type="image/png", size_bytes=17)],
    "void": [VoidEntry(uid=NEW, entry_uid=FIRST)],
    "undo": [Undo(uid=NEW)],
    "undo of a batch": [Undo(uid=NEW, batch=A)],
    "settings": [ChangeSettings(uid=NEW, zone="Asia/Kolkata", notice_h=5)],
}  # fmt: skip


# The loops work out the same few logs over and over.
_estimate_once = lru_cache(maxsize=256)(workedout.work_out_estimate)


@pytest.fixture(autouse=True)
def _each_estimate_once(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(workedout, "work_out_estimate", _estimate_once)


@pytest.fixture
def bare(tmp_path: Path, now: datetime) -> tuple[Path, Who]:
    """A closed file with two watches, registered in one batch."""
    opened = open_collection(tmp_path / "base", now)
    who = owner(opened, "page", now)
    submit(
        opened,
        [RegisterWatch(uid=A, nickname="Anna", wound_by="rotor only"), RegisterWatch(uid=B, nickname="Berta")],
        who,
    )
    opened.close()
    return opened.path, who


@pytest.fixture
def base(bare: tuple[Path, Who]) -> tuple[Path, Who]:
    """The same with two winds."""
    path, who = bare
    opened = Store(path)
    submit(opened, [_wind(FIRST)], who)
    submit(opened, [_wind(SECOND)], who)
    say_cue(opened, B, who.now)
    last_call(opened, CALL, who.now, watch_uid=B)
    with opened.change() as db:
        keep_address(db, PHONE, "https://hook.example/x")
    opened.close()
    return bare


def _copies(base: Path, folder: Path, *, each: int = 1) -> Iterator[tuple[int, Path]]:
    for n in count(1, each):
        path = folder / str(n) / base.name
        path.parent.mkdir()
        shutil.copy(base, path)
        yield n, path


def _refusal(act: Callable[[], object]) -> str | None:
    try:
        act()
    except Unavailable as error:
        return error.sentence
    return None


def _noted(store: Store) -> list[Any]:
    return store.reading().execute("SELECT uid FROM command_log").fetchall()


def _later(_store: Store, _now: datetime, _uids: Collection[str]) -> None:
    """Leave the estimates to whoever comes next."""


@pytest.mark.parametrize("for_good", [False, True], ids=["once", "for good"])
@pytest.mark.parametrize("kind", CHANGES)
def test_a_change_that_fails_at_any_statement_leaves_nothing_and_the_next_one_is_kept(
    kind: str, *, for_good: bool, tmp_path: Path, request: pytest.FixtureRequest, fail_at: Any, outside: Any
) -> None:
    file, who = request.getfixturevalue("bare" if kind == "undo of a batch" else "base")
    before = outside.look(file)
    for n, path in _copies(file, tmp_path, each=OF_A_CHANGE):
        faults = fail_at(n, for_good=for_good)
        store = Store(path, connect=faults.connect)
        refusal = _refusal(partial(submit, store, CHANGES[kind], who, then=_later))
        outside.check_sound(path)
        if refusal is None:
            break
        check_cache(path, who.now)
        assert (refusal, outside.look(path)) == (SAID, before), n
        faults.mended = True
        assert len(_noted(store)) == len(before["command_log"]), "nor does the same thread read what was not kept"
        submit(store, [_seen(uid_of("next"))], who)
        assert len(outside.look(path)["sighting"]) == len(before["sighting"]) + 1, n
        check_cache(path, who.now)
        store.close()
        assert len(outside.look(path)["sighting"]) == len(before["sighting"]) + 1, n
    assert n > OPENING + 6
    assert outside.look(path) != before
    check_cache(path, who.now, to_come=True)
    faults.mended = True
    derive.catch_up(store, who.now)
    check_cache(path, who.now)
    store.close()


@pytest.mark.parametrize("for_good", [False, True], ids=["once", "for good"])
def test_estimates_that_fail_to_be_kept_at_any_statement_are_still_to_come(
    *, for_good: bool, tmp_path: Path, base: tuple[Path, Who], fail_at: Any, outside: Any
) -> None:
    file, who = base
    store = Store(file)
    submit(store, CHANGES["batch of winds"], who, then=_later)
    store.close()
    before = outside.look(file)
    for n, path in _copies(file, tmp_path):
        faults = fail_at(n, for_good=for_good)
        store = Store(path, connect=faults.connect)
        with suppress(Unavailable, sqlite3.OperationalError):
            derive.catch_up(store, who.now)
        outside.check_sound(path)
        check_cache(path, who.now, to_come=True)
        assert outside.look(path)["winding"] == before["winding"], n
        if faults.calls < n:
            break
        faults.mended = True
        derive.catch_up(store, who.now)
        check_cache(path, who.now)
        store.close()
    assert n > OPENING + 20
    check_cache(path, who.now)
    store.close()


def test_while_the_disk_keeps_failing_every_change_says_so(base: tuple[Path, Who], fail_at: Any) -> None:
    file, who = base
    store = Store(file, connect=fail_at(OPENING + 4, for_good=True).connect)
    for _ in range(3):
        assert _refusal(partial(submit, store, CHANGES["wind"], who)) == SAID


def test_a_connection_stuck_in_a_transaction_is_never_used_again(store: Store, who: Who) -> None:
    stuck = store.reading().conn
    stuck.execute("BEGIN IMMEDIATE")
    stuck.execute("UPDATE person SET name = 'nobody'")
    submit(store, [RegisterWatch(nickname="Anna")], who)
    assert store.reading().conn is not stuck
    with pytest.raises(sqlite3.ProgrammingError, match="closed"):
        stuck.execute("SELECT 1")
    other = Store(store.path)
    assert other.reading().execute("SELECT count(*), min(name) FROM watch, person").fetchone() == (1, "owner")
    other.close()


def _delete_then_stumble(store: Store) -> None:
    with store.change() as db:
        db.execute("DELETE FROM setting")
        raise ZeroDivisionError


def _repeat_a_setting(store: Store) -> None:
    with store.change() as db:
        db.execute("INSERT INTO setting (name, value) VALUES ('zone', '1')")


def test_a_fault_of_our_own_keeps_nothing_and_is_not_laid_at_the_disks_door(store: Store) -> None:
    with pytest.raises(ZeroDivisionError):
        _delete_then_stumble(store)
    with pytest.raises(sqlite3.IntegrityError):
        _repeat_a_setting(store)
    assert not store.reading().conn.in_transaction


@pytest.mark.parametrize("for_good", [False, True], ids=["once", "for good"])
def test_a_new_file_broken_off_at_any_statement_opens_the_next_time(
    *, for_good: bool, tmp_path: Path, now: datetime, fail_at: Any, outside: Any
) -> None:
    whole = open_collection(tmp_path / "whole", now)
    for n in count(1, OF_A_NEW_FILE):
        path = tmp_path / str(n) / "going.db"
        faults = fail_at(n, for_good=for_good)
        store = Store(path, connect=faults.connect)
        refusal = _refusal(store.prepare)
        if refusal is None:
            break
        assert refusal == f"The collection in {path.parent} can't be opened: the disk fails."
        faults.mended = True
        store.prepare()
        store.close()
        outside.check_sound(path)
        assert outside.schema(path) == outside.schema(whole.path), n
    assert n > OPENING + 25


def test_opening_from_nothing_to_owner_can_be_broken_off_anywhere(
    tmp_path: Path, now: datetime, fail_at: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    for n in count(1, OF_A_NEW_FILE):
        faults = fail_at(n, for_good=True)
        monkeypatch.setattr("tracker.collection.Store", partial(Store, connect=faults.connect))
        if _refusal(partial(open_collection, tmp_path / str(n), now)) is None:
            break
        faults.mended = True
        opened = open_collection(tmp_path / str(n), now)
        assert owner(opened, "page", now).person_uid
        opened.close()
    assert n > OPENING + 40


def _whole(file: Path, folder: Path, who: Who, outside: Any) -> list[Any]:
    """The windings there are when the batch was applied."""
    folder.mkdir()
    shutil.copy(file, folder)
    store = Store(folder / file.name)
    submit(store, CHANGES["batch of winds"], who)
    store.close()
    windings: list[Any] = outside.look(store.path)["winding"]
    return windings


@pytest.mark.parametrize("first", [True, False], ids=["new file", "change"])
def test_a_kill_at_any_statement_leaves_all_or_nothing(
    *, first: bool, tmp_path: Path, now: datetime, base: tuple[Path, Who], kill_at: Any, start: Any, outside: Any
) -> None:
    file, who = base
    before, whole = outside.look(file), _whole(file, tmp_path / "whole", who, outside)
    for n, copied in _copies(file, tmp_path, each=OF_A_NEW_FILE if first else OF_A_CHANGE):
        path = tmp_path / "new" / str(n) / "going.db" if first else copied
        store = Store(path, connect=kill_at(n).connect)
        act = store.prepare if first else partial(submit, store, CHANGES["batch of winds"], who)
        _, status = os.waitpid(start(act), 0)
        if not status:
            break
        assert os.WTERMSIG(status) == signal.SIGKILL
        outside.check_sound(path)
        if first:
            open_collection(path.parent, now).close()
        else:
            check_cache(path, who.now, to_come=True)
            assert outside.look(path)["winding"] in (before["winding"], whole), n
    assert n > OPENING + 20
