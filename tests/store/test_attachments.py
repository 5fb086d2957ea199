"""Which entry a photograph belongs to; and that no row is ever without its file."""

import os
import signal
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from tests.dials import JPEG
from tracker.collection import open_collection, owner
from tracker.commands.base import Who
from tracker.commands.door import submit
from tracker.commands.log import LogSighting, VoidEntry
from tracker.commands.photograph import attaching
from tracker.commands.register import RegisterWatch
from tracker.commands.undo import Undo
from tracker.photofile import keep, photograph, place
from tracker.store.attachments import attachment, by_entry
from tracker.store.store import Store
from tracker.uids import uid_of

ANNA = uid_of("anna")
DIAL = photograph(JPEG)


def _stop(name: str, now: datetime, **more: Any) -> LogSighting:
    return LogSighting(uid=uid_of(name), watch_uid=ANNA, at=now, zone="UTC", seen="stopped", **more)


@pytest.fixture
def noted(store: Store, who: Who) -> Store:
    submit(store, [RegisterWatch(uid=ANNA, nickname="Anna")], who)
    submit(store, [_stop("first", who.now), attaching(uid_of("first"), DIAL)], who)
    return store


def _owners(store: Store) -> list[str]:
    return list(by_entry(store.reading(), ANNA))


def test_a_photograph_goes_with_each_correction_and_comes_back_with_its_undo(noted: Store, who: Who) -> None:
    for name, before in (("second", "first"), ("third", "second")):
        assert _owners(noted) == [uid_of(before)]
        submit(noted, [_stop(name, who.now, replaces=uid_of(before), shown="437")], who)
    assert _owners(noted) == [uid_of("third")]
    submit(noted, [Undo()], who)
    assert _owners(noted) == [uid_of("second")]


def test_taken_out_with_its_entry_it_belongs_to_none(noted: Store, who: Who) -> None:
    submit(noted, [VoidEntry(entry_uid=uid_of("first"))], who)
    assert _owners(noted) == []


def test_undo_takes_entry_and_photograph_back_together(noted: Store, who: Who) -> None:
    uid = attaching(uid_of("first"), DIAL).uid
    assert attachment(noted.reading(), uid) is not None
    submit(noted, [Undo()], who)
    assert (_owners(noted), attachment(noted.reading(), uid)) == ([], None)


@pytest.mark.parametrize("at", ["writing", "naming", "kept", "noted"])
def test_killed_at_any_step_no_row_is_without_its_file(
    at: str, tmp_path: Path, now: datetime, *, start: Any, outside: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    store = open_collection(tmp_path, now)
    who = owner(store, "page", now)
    submit(store, [RegisterWatch(uid=ANNA, nickname="Anna")], who)
    store.close()

    def kill(*_: object) -> None:
        os.kill(os.getpid(), signal.SIGKILL)

    def note() -> None:
        if at in {"writing", "naming"}:
            monkeypatch.setattr(*(("tracker.photofile.os.fsync", kill) if at == "writing" else (Path, "replace", kill)))
        keep(tmp_path, DIAL)
        if at == "kept":
            kill()
        submit(Store(store.path), [_stop("first", now), attaching(uid_of("first"), DIAL)], who)
        kill()

    assert os.waitstatus_to_exitcode(os.waitpid(start(note), 0)[1]) == -signal.SIGKILL
    assert place(tmp_path, DIAL.sha256).exists() == (at in {"kept", "noted"})
    assert (
        len(outside.look(store.path)["attachment"]) == len(outside.look(store.path)["sighting"]) == int(at == "noted")
    )
