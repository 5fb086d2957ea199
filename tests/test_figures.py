"""A list of watches is read from the cache alone, and says the same as the whole logs."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta

import pytest
from sqlite_utils import Database

from tests.test_known import given
from tracker import derive, figures
from tracker.commands.base import Who
from tracker.commands.door import submit
from tracker.commands.log import LogSighting, LogWear, LogWind
from tracker.commands.register import EditWatch, RegisterWatch
from tracker.commands.settings import ChangeSettings
from tracker.core.timeline import Entry
from tracker.figures import Figures
from tracker.known import memory_of
from tracker.store import log
from tracker.store.estimates import forget_estimates
from tracker.store.store import Store


@pytest.fixture
def watches(store: Store, who: Who) -> None:
    """Going, worn, stopped, wound in part, never noted."""
    given(store, who)
    going, worn, stopped, part, new = (RegisterWatch(nickname=name, habit="keep going") for name in "ABCDE")
    ago = who.now - timedelta(hours=30)
    entries = [
        LogWind(watch_uid=going.uid, at=ago, zone="UTC"),
        LogWind(watch_uid=worn.uid, at=ago, zone="UTC"),
        LogWear(watch_uid=worn.uid, at=who.now - timedelta(hours=2), zone="UTC", act="put on"),
        LogSighting(watch_uid=stopped.uid, at=ago, zone="UTC", seen="stopped"),
        LogWind(watch_uid=part.uid, at=ago, zone="UTC", amount="part"),
    ]
    submit(store, [going, worn, stopped, part, new, *entries], who)


def without_runs(figures: Sequence[Figures]) -> list[Figures]:
    return [
        replace(each, history=replace(each.history, runs=()), segment=replace(each.segment, runs=()))
        for each in figures
    ]


@pytest.fixture
def no_logs(monkeypatch: pytest.MonkeyPatch) -> None:
    def read(_db: object, uids: Sequence[str]) -> dict[str, list[Entry]]:
        assert not uids, "a log was read"
        return {}

    monkeypatch.setattr(log, "entries", read)


@pytest.mark.usefixtures("watches")
def test_a_list_without_runs_says_what_the_logs_say(store: Store, who: Who) -> None:
    full = figures.survey(store, who.now)
    assert len(full.known) == 6
    assert figures.survey(store, who.now, with_runs=False).known == without_runs(full.known)


@pytest.mark.usefixtures("watches", "no_logs")
def test_a_list_and_a_change_of_settings_read_no_log(store: Store, who: Who) -> None:
    assert len(figures.survey(store, who.now, with_runs=False).known) == 6
    submit(store, [ChangeSettings(notice_h=5)], who)


@pytest.mark.usefixtures("watches")
def test_a_watch_whose_log_moved_on_is_read_from_its_log(store: Store, who: Who) -> None:
    uid = figures.collect(store, who.now)[0].watch.uid
    seen = LogSighting(watch_uid=uid, at=who.now, zone="UTC", seen="stopped")
    submit(store, [seen], who, then=lambda *_: None)
    (moved,) = [each for each in figures.survey(store, who.now, with_runs=False).known if each.behind]
    assert (moved.watch.uid, moved.standing.word) == (uid, "stopped")
    derive.catch_up(store, who.now)
    assert not any(each.behind for each in figures.survey(store, who.now, with_runs=False).known)


def test_a_watch_whose_looks_are_offered_keeps_its_runs(store: Store, who: Who) -> None:
    watch = given(store, who)
    submit(store, [EditWatch(watch_uid=watch.uid, nickname="Night ferry", looks_offered=True)], who)
    assert figures.survey(store, who.now, with_runs=False).known == figures.survey(store, who.now).known


@pytest.mark.usefixtures("watches")
def test_a_list_of_watches_never_worked_out_reads_no_log(
    store: Store, who: Who, request: pytest.FixtureRequest
) -> None:
    with store.change() as db:
        forget_estimates(db)
    request.getfixturevalue("no_logs")
    assert len(figures.survey(store, who.now, with_runs=False).waiting) == 6
    submit(store, [ChangeSettings(notice_h=5)], who, then=lambda *_: None)


def test_where_many_logs_moved_on_a_list_reads_a_few(store: Store, who: Who, monkeypatch: pytest.MonkeyPatch) -> None:
    count = figures.MOST_READ + 2
    watches = [RegisterWatch(nickname=f"Watch {number}") for number in range(count)]
    submit(store, watches, who)
    seen = [LogSighting(watch_uid=watch.uid, at=who.now, zone="UTC", seen="stopped") for watch in watches]
    submit(store, seen, who, then=lambda *_: None)
    memory_of(store).histories.clear()  # as if another process had noted them
    real, read = log.entries, list[str]()

    def entries(db: Database, uids: Sequence[str]) -> dict[str, list[Entry]]:
        read.extend(uids)
        return real(db, uids)

    monkeypatch.setattr(log, "entries", entries)
    first = figures.survey(store, who.now, with_runs=False).known
    assert len(read) == figures.MOST_READ
    assert all(each.behind for each in first)
    assert [each.standing.word for each in first].count("stopped") == figures.MOST_READ
    again = figures.survey(store, who.now, with_runs=False).known
    assert [each.standing.word for each in again] == ["stopped"] * count
