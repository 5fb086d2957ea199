from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import permutations

from tests.core.notes import log
from tracker.core.timeline import Service, Sighting, Wind, in_order


def test_notes_come_in_the_order_of_their_times() -> None:
    notes = log("2026-03-02 09:00 seen going\n2026-03-02 08:00 wound")
    assert [note.uid for note in in_order(notes)] == ["2", "1"]


def test_at_one_moment_service_wear_stop_winding_and_sighting_follow_each_other() -> None:
    notes = log("""
        2026-03-02 08:00 service
        2026-03-02 08:00 put on
        2026-03-02 08:00 stopped
        2026-03-02 08:00 stopped on purpose
        2026-03-02 08:00 wound
        2026-03-02 08:00 seen going
    """)
    assert all(in_order(mixed) == notes for mixed in permutations(notes))


def test_a_service_known_by_its_day_comes_before_the_winding_of_that_day() -> None:
    day = datetime(2026, 3, 2, 12, tzinfo=UTC)
    service = Service(uid="s", at=day, zone="UTC", within_min=720)
    wind = Wind(uid="w", at=day - timedelta(hours=3), zone="UTC")
    assert in_order([wind, service]) == [service, wind]


def test_a_winding_said_late_comes_after_the_stop_that_it_answered() -> None:
    morning = datetime(2026, 3, 2, 8, tzinfo=UTC)
    stop = Sighting(uid="s", at=morning + timedelta(minutes=75), zone="UTC", seen="stopped")
    late = Wind(uid="w", at=morning, zone="UTC", within_min=180, found="stopped")
    assert in_order([late, stop]) == [stop, late]
    assert in_order([replace(late, within_min=10), stop]) == [replace(late, within_min=10), stop]
    assert in_order([replace(late, found="going"), stop]) == [replace(late, found="going"), stop]
    assert in_order([replace(late, found="not noticed"), stop]) == [stop, replace(late, found="not noticed")]


def test_a_winding_said_late_is_as_wide_as_a_stop_just_after_it_asks() -> None:
    at = datetime(2026, 3, 2, 7, 30, tzinfo=UTC)
    late = Wind(uid="w", at=at, zone="UTC", within_min=10, found="stopped")
    stop = Sighting(uid="s", at=at + timedelta(minutes=14), zone="UTC", seen="stopped", within_min=2)
    assert in_order([late, stop]) == [stop, replace(late, within_min=12)]
    assert in_order([replace(late, within_min=2), stop]) == [replace(late, within_min=2), stop]
