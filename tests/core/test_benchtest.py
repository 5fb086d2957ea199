from dataclasses import replace
from datetime import UTC, datetime, timedelta

from tracker.core.benchtest import BenchTest

AT = datetime(2026, 11, 24, 8, tzinfo=UTC)
TEST = BenchTest(
    uid="t",
    watch_uid="a",
    wind_uid="w",
    wound_at=AT,
    newest_at=AT,
    occasion="in between",
    position="",
    note="",
    noted_at=AT,
)


def test_it_holds_its_watch_until_it_is_over_or_the_watch_is_wound_again() -> None:
    assert TEST.holds
    assert not replace(TEST, ended_at=AT).holds
    assert not replace(TEST, newest_at=AT + timedelta(hours=9)).holds
    assert not replace(TEST, wind_uid=None, wound_at=None).holds


def test_two_notes_of_one_winding_are_one() -> None:
    assert replace(TEST, newest_at=AT + timedelta(minutes=10)).holds
