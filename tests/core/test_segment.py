from datetime import UTC, datetime, timedelta

import pytest

from tracker.core.rundown import run_downs
from tracker.core.segment import YEAR, present_segment
from tracker.core.timeline import Entry, Service, Wind
from tracker.core.watch import Watch

WATCH = Watch(uid="w", nickname="Night ferry")
START = datetime(2024, 1, 1, 8, tzinfo=UTC)
MIDNIGHT = datetime(2026, 1, 1, tzinfo=UTC)


def _wind(day: float) -> Wind:
    return Wind(uid=f"wind {day}", at=START + timedelta(days=day), zone="UTC", found="going")


def _service(day: float) -> Service:
    return Service(uid=f"service {day}", at=START + timedelta(days=day), zone="UTC")


def _log(*entries: Entry) -> list[Entry]:
    return list(entries)


def test_only_runs_since_the_last_service_speak() -> None:
    history = run_downs(WATCH, _log(_wind(0), _wind(1), _wind(2), _service(10), _wind(11), _wind(12), _wind(13)))
    segment = present_segment(history, MIDNIGHT)
    assert segment.serviced
    assert segment.since == START + timedelta(days=10)
    assert [run.age_years for run in segment.runs] == pytest.approx([1 / 365.25, 2 / 365.25])


def test_without_a_service_ages_count_from_the_first_run() -> None:
    segment = present_segment(run_downs(WATCH, _log(_wind(5), _wind(6), _wind(8))), MIDNIGHT)
    assert not segment.serviced
    assert [run.age_years for run in segment.runs] == pytest.approx([0, 1 / 365.25])


def test_the_age_asked_for_is_that_of_the_winding_that_started_the_present_run() -> None:
    segment = present_segment(run_downs(WATCH, _log(_service(0), _wind(100))), MIDNIGHT)
    assert segment.now_years == pytest.approx(100 / 365.25)


def test_at_rest_the_age_is_taken_at_the_last_midnight() -> None:
    segment = present_segment(run_downs(WATCH, _log(_service(0))), MIDNIGHT)
    assert segment.now_years == pytest.approx((MIDNIGHT - START) / YEAR)


def test_no_log_no_age() -> None:
    segment = present_segment(run_downs(WATCH, []), MIDNIGHT)
    assert (segment.runs, segment.now_years, segment.since) == ((), 0.0, None)
