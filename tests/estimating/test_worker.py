"""The worker's line: who is next, and what holds nobody up."""

from collections.abc import Collection
from datetime import datetime

import pytest

from tests.derived import check_cache
from tests.web.rounds import known
from tracker import clock, derive, figures, workedout
from tracker.commands.base import Who
from tracker.commands.door import submit
from tracker.commands.log import LogSighting
from tracker.commands.register import RegisterWatch
from tracker.estimating import worker
from tracker.estimating.worker import Asked, work
from tracker.known import Answer
from tracker.store.store import Store


def later(_store: Store, _now: datetime, _uids: Collection[str]) -> None:
    """Leave the estimates to the worker."""


def registered(store: Store, who: Who, count: int) -> list[str]:
    watches = [RegisterWatch(nickname=f"Watch {number:03}") for number in range(count)]
    submit(store, watches, who, then=later)
    return [watch.uid for watch in watches]


def seen(uid: str, now: datetime) -> LogSighting:
    return LogSighting(watch_uid=uid, at=now, zone="UTC", seen="going")


@pytest.fixture(autouse=True)
def _now(now: datetime, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(clock, "now", lambda: now)


@pytest.fixture
def at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Estimates that cost nothing."""
    monkeypatch.setattr(
        workedout, "answer_of", lambda _w, told, *_: Answer(known(), None, told.history.current is None)
    )


def test_what_is_asked_for_comes_first_the_latest_before_the_others() -> None:
    asked = Asked()
    asked.add(["c"])
    asked.add(["d", "b"])
    assert asked.first_of(["a", "b", "c", "d"]) == "d"
    assert asked.first_of(["a", "b", "c"]) == "b"
    assert asked.first_of(["a", "c"]) == "c"
    assert asked.first_of(["a"]) == "a"
    assert asked.first_of([]) is None


def test_what_is_asked_for_and_done_already_is_asked_for_no_more() -> None:
    asked = Asked()
    asked.add(["c"])
    assert asked
    assert asked.first_of(["a"]) == "a"
    assert not asked


def worked_off(store: Store, asked: Asked) -> bool:
    return work(store, asked, derive.in_line(store.reading(), clock.now()))


@pytest.mark.usefixtures("at_once")
def test_an_entry_made_while_two_hundred_are_in_line_is_served_next(
    store: Store, who: Who, monkeypatch: pytest.MonkeyPatch
) -> None:
    uids, asked, served = registered(store, who, 200), Asked(), list[str]()
    newest, one = uids[150], derive.work_out_one

    def work_out_one(store: Store, uid: str, now: datetime) -> None:
        one(store, uid, now)
        served.append(uid)
        if len(served) == 40:
            submit(store, [seen(newest, now)], who, then=lambda _store, _now, uids: asked.add(uids))

    monkeypatch.setattr(derive, "work_out_one", work_out_one)
    assert worked_off(store, asked)
    assert served[:40] + served[41:] == [uid for uid in uids if uid != newest]
    assert served[40] == newest


@pytest.mark.usefixtures("at_once")
def test_an_entry_made_while_its_watch_is_worked_out_is_worked_out_too(
    store: Store, who: Who, monkeypatch: pytest.MonkeyPatch
) -> None:
    (uid,) = registered(store, who, 1)
    real, times = workedout.work_out, list[int]()

    def work_out(_db: object, uid: str, now: datetime) -> workedout.Worked | None:
        found = real(store.reading(), uid, now)
        times.append(1)
        if len(times) == 1:
            submit(store, [seen(uid, now)], who, then=later)
        return found

    monkeypatch.setattr(workedout, "work_out", work_out)
    assert worked_off(store, Asked())
    assert len(times) == 2
    assert not figures.one(store, uid, who.now).behind


def test_one_that_cannot_be_kept_holds_up_no_other(
    store: Store, who: Who, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    first, other = registered(store, who, 2)
    one = derive.work_out_one

    def work_out_one(store: Store, uid: str, now: datetime) -> None:
        if uid == first:
            raise ZeroDivisionError
        one(store, uid, now)

    monkeypatch.setattr(derive, "work_out_one", work_out_one)
    assert not worked_off(store, Asked())
    assert [each.watch.uid for each in figures.collect(store, who.now)] == [other]
    assert f"What was worked out of the watch {first} could not be kept." in caplog.text
    monkeypatch.undo()
    monkeypatch.setattr(clock, "now", lambda: who.now)
    assert worked_off(store, Asked())
    assert check_cache(store.path, who.now) == 2


def test_it_waits_no_longer_once_something_is_asked_for() -> None:
    asked = Asked()
    asked.add(["a"])
    asked.wait(3600)
    assert worker.ROLE == "estimating"


def test_once_it_is_idle_it_loads_what_the_next_entry_needs_and_lives_on_if_it_can_not(
    store: Store, who: Who, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    registered(store, who, 1)
    done, waits = list[str](), iter(range(3))

    def wait(_asked: Asked, seconds: float) -> None:
        assert seconds == worker.LOOK_S
        done.append("idle")
        if next(waits, None) is None:
            raise KeyboardInterrupt

    monkeypatch.setattr(Asked, "wait", wait)
    monkeypatch.setattr(derive, "work_out_one", lambda *_: done.append("worked out"))
    monkeypatch.setattr(derive, "in_line", lambda *_: [] if done else ["one"])

    def warm() -> None:
        done.append("warm")
        raise MemoryError

    monkeypatch.setattr(worker, "warm", warm)
    with pytest.raises(KeyboardInterrupt):
        worker._stay(store.path.parent, Asked())
    assert done == ["worked out", "idle", "warm", "idle", "idle", "idle"]
    assert "could not be loaded" in caplog.text
