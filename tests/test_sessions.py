"""Waiting after wrong tries, and sessions as their owner knows them."""

from datetime import datetime, timedelta
from pathlib import Path

import pytest

from tests.web.household import OWNERS, household
from tests.web.rounds import NOW
from tracker import passwords
from tracker.collection import open_collection
from tracker.sessions import TooManyTries, WrongPassword, log_in, logged_in, source_of, wait_s
from tracker.store.store import Store

FAR = "192.168.1.66"


def enter(store: Store, password: str, at: datetime = NOW, source: str = FAR) -> str:
    return log_in(store, "", password, source=source, trusted=False, browser="a browser", now=at)


def wrong(store: Store, at: datetime = NOW, source: str = FAR) -> None:
    with pytest.raises(WrongPassword):
        enter(store, "wrong", at, source)


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch, store: Store) -> Store:
    household(store)
    monkeypatch.setattr(passwords, "matches", lambda _, password: password == OWNERS)
    return store


def test_the_wait_doubles_up_to_a_quarter_of_an_hour_and_a_minute_for_all() -> None:
    assert [wait_s("one", n) for n in (1, 2, 3, 4, 5, 12, 13, 99)] == [0, 0, 1, 2, 4, 512, 900, 900]
    assert [wait_s("all", n) for n in (1, 19, 20, 25, 26, 10_000)] == [0, 0, 1, 32, 60, 60]


def test_while_one_waits_not_even_the_right_password_is_looked_at(quick: Store) -> None:
    for _ in range(3):
        wrong(quick)
    with pytest.raises(TooManyTries) as early:
        enter(quick, OWNERS, NOW + timedelta(seconds=0.5))
    assert early.value.wait_s == 1
    assert logged_in(quick, enter(quick, OWNERS, NOW + timedelta(seconds=1)), NOW) is not None


def test_the_wait_outlives_a_restart(quick: Store, tmp_path: Path) -> None:
    for _ in range(3):
        wrong(quick)
    quick.close()
    again = open_collection(tmp_path, NOW)
    with pytest.raises(TooManyTries):
        enter(again, OWNERS)
    again.close()


def test_many_addresses_together_wait_a_minute_at_most(quick: Store) -> None:
    for n in range(20):
        wrong(quick, source=f"10.0.0.{n}")
    with pytest.raises(TooManyTries) as early:
        enter(quick, OWNERS, source="10.0.1.1")
    assert early.value.wait_s <= 60


def test_the_owner_at_the_machine_itself_never_waits(quick: Store) -> None:
    for n in range(30):
        wrong(quick, source="127.0.0.1" if n % 2 else "::1")
    for n in range(20):
        wrong(quick, source=f"10.0.0.{n}")
    assert enter(quick, OWNERS, source="127.0.0.1")


def test_a_right_try_forgets_the_wrong_ones_and_a_day_does_too(quick: Store) -> None:
    for _ in range(2):
        wrong(quick)
    enter(quick, OWNERS)
    for _ in range(3):
        wrong(quick)
    wrong(quick, NOW + timedelta(days=1))
    wrong(quick, NOW + timedelta(days=1))


def test_a_household_on_ipv6_is_one_source_and_loopback_none() -> None:
    assert source_of("2001:db8::1") == source_of("2001:db8::2") == "2001:db8::/64"
    assert source_of("::ffff:192.168.1.66") == FAR
    assert (source_of("::1"), source_of("::ffff:127.0.0.1"), source_of("nonsense")) == (None, None, "unknown")


def test_use_is_noted_to_ten_minutes(quick: Store) -> None:
    key = enter(quick, OWNERS)
    used = [logged_in(quick, key, NOW + timedelta(minutes=m)) for m in (5, 11, 12)]
    assert [each and each.session.used - NOW for each in used] == [timedelta(0), timedelta(0), timedelta(minutes=11)]
