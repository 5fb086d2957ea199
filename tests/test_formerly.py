"""What the reserve was before the last service."""

from datetime import UTC, datetime, timedelta

from tracker.core.rundown import run_downs
from tracker.core.timeline import Entry, Service, Sighting, Wind
from tracker.core.watch import Watch
from tracker.formerly import before_service

WATCH = Watch(uid="w", nickname="w", stated_reserve_h=42)
FIRST = datetime(2024, 1, 1, tzinfo=UTC)
DAY, HOUR = timedelta(days=1), timedelta(hours=1)


def run(day: float, hours: float) -> list[Entry]:
    at = FIRST + day * DAY
    return [
        Wind(uid=f"w{day}", at=at, zone="UTC"),
        Sighting(uid=f"g{day}", at=at + (hours - 0.3) * HOUR, zone="UTC", seen="going"),
        Sighting(uid=f"s{day}", at=at + hours * HOUR, zone="UTC", seen="stopped"),
    ]


def service(day: float) -> Service:
    return Service(uid=f"service {day}", at=FIRST + day * DAY, zone="UTC")


def test_the_runs_before_the_last_service_alone_tell_it() -> None:
    weak = [entry for day in (10, 20, 30) for entry in run(day, 30.0 + day / 100)]
    strong = [entry for day in (110, 120, 130) for entry in run(day, 41.0 + day / 1000)]
    found = before_service(WATCH, run_downs(WATCH, [*weak, service(100), *strong]), 0.1)
    assert found is not None
    assert found.service_at == FIRST + 100 * DAY
    assert found.estimate.evidence["between"] == 3
    assert 28 < found.estimate.reserve_h.mid < 32
    same = before_service(WATCH, run_downs(WATCH, [*weak, service(100)]), 0.1)
    assert same is not None
    assert same.estimate == found.estimate


def test_of_the_runs_before_the_service_before_nothing_is_taken() -> None:
    entries = [*run(10, 20.0), service(50), *run(60, 35.0), service(100)]
    found = before_service(WATCH, run_downs(WATCH, entries), 0.1)
    assert found is not None
    assert sum(found.estimate.evidence.values()) == 1


def test_without_a_service_or_a_run_before_it_there_is_no_before() -> None:
    assert before_service(WATCH, run_downs(WATCH, run(10, 30.0)), 0.1) is None
    assert before_service(WATCH, run_downs(WATCH, [service(1), *run(10, 30.0)]), 0.1) is None
    assert before_service(WATCH, run_downs(WATCH, [*run(10, 30.0), service(50), service(60)]), 0.1) is None
