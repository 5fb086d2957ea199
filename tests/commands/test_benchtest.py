"""A run-down test from its wind to its end, whatever ends it."""

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from tracker.commands.base import Who
from tracker.commands.door import submit
from tracker.commands.undo import Undo
from tracker.figures import one
from tracker.planning import goes_by_rounds
from tracker.store.benchtests import ended_tests, open_tests, under_test
from tracker.store.store import Store
from tracker.uids import uid_of

Give = Callable[..., str]
WIND = uid_of("its wind")
HOUR = timedelta(hours=1)


@pytest.fixture
def tested(store: Store, give: Give, anna: str, who: Who) -> str:
    """Anna, wound 30 hours ago with her hands set, under test since."""
    assert not open_tests(store.reading())
    give("EditWatch", watch_uid=anna, nickname="Anna", habit="keep going", stated_reserve_h=42)
    give("LogWind", uid=WIND, watch_uid=anna, at=who.now - 30 * HOUR, zone="UTC", hands="set now")
    give("StartTest", watch_uid=anna, wind_uid=WIND, occasion="after service", position="CH")
    return anna


def note(give: Give, kind: str, watch: str, who: Who, hours: float = 0.0, **fields: object) -> None:
    give(kind, watch_uid=watch, at=who.now - hours * HOUR, zone="UTC", **fields)


def ended(store: Store) -> tuple[str | None, str]:
    """How the newest test ended, and why."""
    (test,) = ended_tests(store.reading(), 1)
    assert not open_tests(store.reading())
    return test.ended_by, test.reason


def test_it_ties_the_watch_to_its_winding_and_holds_it(store: Store, tested: str, who: Who) -> None:
    (test,) = open_tests(store.reading())
    assert (test.wind_uid, test.wound_at) == (WIND, who.now - 30 * HOUR)
    assert set(under_test(store.reading())) == {tested}


def test_its_watch_is_called_for_by_no_plan_and_no_reminder(store: Store, tested: str, who: Who) -> None:
    each = one(store, tested, who.now)
    assert each.test is not None
    assert not goes_by_rounds(each)
    assert goes_by_rounds(replace(each, test=None))
    open_rows = "SELECT kind FROM reminder WHERE state IN ('planned', 'due')"
    assert store.reading().execute(open_rows).fetchall() == []


def test_broken_off_its_watch_is_called_for_again(store: Store, give: Give, tested: str) -> None:
    (test,) = open_tests(store.reading())
    give("EndTest", test_uid=test.uid, reason="needed today")
    assert store.reading().execute("SELECT kind FROM reminder WHERE state = 'planned'").fetchall() == [("last call",)]
    assert ended(store) == ("broken off", "needed today")
    assert tested


def test_a_stop_whose_hands_were_read_ends_it(store: Store, give: Give, tested: str, who: Who) -> None:
    note(give, "LogSighting", tested, who, seen="stopped", shown="437")
    assert ended(store) == ("stop read", "")


def test_a_stop_whose_hands_nobody_read_leaves_it_open(store: Store, give: Give, tested: str, who: Who) -> None:
    note(give, "LogSighting", tested, who, seen="stopped")
    assert set(under_test(store.reading())) == {tested}


@pytest.mark.parametrize(
    ("kind", "fields", "how"),
    [
        ("LogWind", {"found": "going"}, ("broken off", "wound again")),
        ("LogWind", {"found": "stopped"}, ("stop seen", "")),
        ("LogWind", {"found": "stopped", "shown": "437"}, ("stop read", "")),
        ("LogSighting", {"seen": "stopped on purpose"}, ("broken off", "stopped on purpose")),
        ("LogService", {}, ("broken off", "handed in for service")),
    ],
)
def test_what_ends_its_run_ends_it(
    store: Store, give: Give, tested: str, who: Who, *, kind: str, fields: dict[str, Any], how: tuple[str, str]
) -> None:
    note(give, kind, tested, who, **fields)
    assert ended(store) == how


@pytest.mark.parametrize(
    ("kind", "hours", "fields"),
    [
        ("LogSighting", 5.0, {"seen": "going"}),
        ("LogWear", 5.0, {"act": "put on"}),  # no rotor: its run goes on
        ("LogWind", 29.9, {}),  # two people noted one winding
        ("LogWind", 90.0, {}),
    ],
)
def test_what_does_not_end_its_run_leaves_it_open(
    store: Store, give: Give, tested: str, who: Who, *, kind: str, hours: float, fields: dict[str, Any]
) -> None:
    note(give, kind, tested, who, hours, **fields)
    assert set(under_test(store.reading())) == {tested}


def test_undone_with_what_ended_it_it_goes_on(store: Store, give: Give, tested: str, who: Who) -> None:
    note(give, "LogWind", tested, who, found="going")
    submit(store, [Undo()], who)
    assert set(under_test(store.reading())) == {tested}


def test_its_winding_corrected_it_goes_on_from_that(store: Store, give: Give, tested: str, who: Who) -> None:
    note(give, "LogWind", tested, who, 31.0, replaces=WIND, hands="set now")
    (test,) = open_tests(store.reading())
    assert test.wound_at == who.now - 31 * HOUR
    assert test.holds


def test_its_winding_taken_out_it_holds_nothing(store: Store, give: Give, tested: str) -> None:
    give("VoidEntry", entry_uid=WIND)
    (test,) = open_tests(store.reading())
    assert test.wind_uid is None
    assert under_test(store.reading()) == {}
    assert tested


def test_a_new_one_ends_the_former(store: Store, give: Give, tested: str) -> None:
    give("StartTest", watch_uid=tested, wind_uid=WIND)
    assert len(open_tests(store.reading())) == 1
    (former,) = ended_tests(store.reading(), 5)
    assert former.reason == "a new test was begun"
