"""How long a page waits for what is being worked out."""

import time
from collections.abc import Callable, Collection
from datetime import datetime

import pytest

from tests.estimating.test_worker import later, registered
from tracker import clock, derive
from tracker.commands.base import Who
from tracker.estimating.patience import FEW, LONGEST_S, wait_for
from tracker.store.store import Store


class Clock:
    """A clock that goes on only while somebody sleeps; `at_look` is what happens meanwhile, by the look."""

    def __init__(self, at_look: dict[int, Callable[[], object]]) -> None:
        self.slept_s, self.looks, self.at_look = 0.0, 0, at_look

    def sleep(self, seconds: float) -> None:
        self.slept_s += seconds
        self.looks += 1
        self.at_look.get(self.looks, lambda: None)()


def waited(store: Store, now: datetime, monkeypatch: pytest.MonkeyPatch, **at_look: Callable[[], object]) -> Clock:
    watch = Clock({int(look.strip("_")): act for look, act in at_look.items()})
    monkeypatch.setattr(time, "sleep", watch.sleep)
    monkeypatch.setattr(clock, "monotonic_s", lambda: watch.slept_s)
    wait_for(store, now, later)
    return watch


def test_what_holds_is_not_waited_for(store: Store, who: Who, monkeypatch: pytest.MonkeyPatch) -> None:
    registered(store, who, 1)
    derive.catch_up(store, who.now)
    assert waited(store, who.now, monkeypatch).slept_s == 0


def test_it_goes_on_as_soon_as_the_figure_is_there(store: Store, who: Who, monkeypatch: pytest.MonkeyPatch) -> None:
    registered(store, who, 1)
    assert waited(store, who.now, monkeypatch, _3=lambda: derive.catch_up(store, who.now)).looks == 3


def test_it_never_waits_longer_than_a_fifth_of_a_second(
    store: Store, who: Who, monkeypatch: pytest.MonkeyPatch
) -> None:
    registered(store, who, FEW)
    assert waited(store, who.now, monkeypatch).slept_s == pytest.approx(LONGEST_S, abs=0.01)
    assert LONGEST_S == 0.2


def test_many_are_not_waited_for(store: Store, who: Who, monkeypatch: pytest.MonkeyPatch) -> None:
    registered(store, who, FEW + 1)
    assert waited(store, who.now, monkeypatch).slept_s == 0


def test_those_it_waits_for_are_asked_for(store: Store, who: Who) -> None:
    uids, asked = registered(store, who, FEW), list[str]()

    def worked_out(store: Store, now: datetime, uids: Collection[str]) -> None:
        asked.extend(uids)
        derive.catch_up(store, now, uids)

    line = wait_for(store, who.now, worked_out, uids[1:2])
    assert asked == uids[1:2]
    assert line.missed == [uids[0], uids[2]]
