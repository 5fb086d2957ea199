"""Tests on the bench read with the log and with what sensors heard."""

from datetime import time
from typing import Any
from zoneinfo import ZoneInfo

from tests.listening import hears, lies
from tests.web.rounds import HOUR, NOW, give
from tracker.bench import due_readings, ended_lately, on_test
from tracker.commands.benchtest import StartTest
from tracker.commands.log import LogReading, LogService, LogSighting, LogWind
from tracker.commands.register import EditWatch, RegisterWatch
from tracker.commands.settings import ChangeSettings
from tracker.derive import catch_up
from tracker.store.register import watches
from tracker.store.store import Store
from tracker.web import benchwords

ZONE = ZoneInfo("Europe/London")
JOBS: tuple[tuple[str, dict[str, Any]], ...] = (
    ("Own", {}),
    ("Job", {"belongs_to": "A pilot", "job_number": "W-1", "came_in": NOW.date()}),
)


def begun(store: Store, hours_ago: float, **wind: object) -> str:
    """A watch of 40 hours by its maker, under test since so many hours."""
    watch = RegisterWatch(nickname=f"wound {hours_ago}", stated_reserve_h=40)
    given = {"hands": "set now"} | wind
    wound = LogWind(watch_uid=watch.uid, at=NOW - hours_ago * HOUR, zone="UTC", **given)  # type: ignore[arg-type]
    give(store, watch, wound, StartTest(watch_uid=watch.uid, wind_uid=wound.uid))
    return watch.uid


def test_looks_lie_within_the_hours_of_the_bench(store: Store) -> None:
    begun(store, 2.0)
    (one,) = on_test(store, NOW, ZONE)
    assert one.looks
    assert all(time(8) <= at.astimezone(ZONE).time() <= time(21) for at, _ in one.looks)


def test_the_owner_says_when_someone_is_there(store: Store) -> None:
    begun(store, 2.0)
    give(store, ChangeSettings(bench_days=("Fri", "Sat"), bench_from="10:00", bench_to="12:00"))
    (one,) = on_test(store, NOW, ZONE)
    assert one.looks
    assert all(at.astimezone(ZONE).weekday() in {4, 5} for at, _ in one.looks)
    assert all(time(10) <= at.astimezone(ZONE).time() <= time(12) for at, _ in one.looks)


def test_readings_are_due_after_a_service_and_of_what_came_in(store: Store) -> None:
    own, job = (RegisterWatch(nickname=name, **told) for name, told in JOBS)
    give(store, own, job, LogService(watch_uid=own.uid, at=NOW - 3 * 24 * HOUR, zone="UTC"))
    due = {watch.nickname: told for watch, told in due_readings(store, watches(store.reading()), NOW, ZONE)}
    assert due == {"Own": ("after service, at full wind", "after service, after 24 h"), "Job": ("before service",)}
    give(store, LogReading(watch_uid=job.uid, at=NOW, zone="UTC", position="CH", rate_s_per_day=3.0))
    assert "Job" not in {watch.nickname for watch, _ in due_readings(store, watches(store.reading()), NOW, ZONE)}


def test_the_plan_stands_until_it_is_looked_at(store: Store) -> None:
    uid = begun(store, 20.0)
    (before,) = on_test(store, NOW, ZONE)
    assert [one.looks for one in on_test(store, NOW + 30 * HOUR, ZONE)] == [before.looks]
    give(store, LogSighting(watch_uid=uid, at=NOW, zone="UTC", seen="going"))
    (after,) = on_test(store, NOW, ZONE)
    assert all(at > NOW for at, _ in after.looks)


def test_after_the_stop_there_is_no_look_to_come(store: Store) -> None:
    uid = begun(store, 45.0)
    give(store, LogSighting(watch_uid=uid, at=NOW, zone="UTC", seen="stopped"))
    (one,) = on_test(store, NOW, ZONE)
    assert (one.state, one.next_look) == ("stopped", None)


def test_one_whose_winding_was_taken_out_has_no_run(store: Store) -> None:
    uid = begun(store, 2.0)
    give(store, LogWind(watch_uid=uid, at=NOW - 1.9 * HOUR, zone="UTC"))
    with store.change() as db:
        db.execute("UPDATE winding SET voided_by = 'x'")
        db.execute("UPDATE watch SET log_counter = log_counter + 1")
    (one,) = on_test(store, NOW, ZONE)
    assert (one.state, one.looks) == ("no run", ())


def test_what_was_over_first_stands_first(store: Store) -> None:
    begun(store, 1.0)
    stopped = begun(store, 45.0)
    give(store, LogSighting(watch_uid=stopped, at=NOW, zone="UTC", seen="stopped"))
    assert [one.state for one in on_test(store, NOW, ZONE)] == ["stopped", "going"]


def test_its_result_is_the_run_down_of_the_log(store: Store) -> None:
    uid = begun(store, 45.0)
    give(store, LogSighting(watch_uid=uid, at=NOW, zone="UTC", seen="stopped", shown="2:25"))
    ((test, _, run),) = ended_lately(store, NOW)
    assert run is not None
    assert (test.ended_by, run.evidence.kind) == ("stop read", "one_of")
    assert any(low < 40.0 < high for low, high in run.evidence.spans_h)


def test_a_sensor_under_it_takes_over_and_its_stop_is_the_stop(store: Store) -> None:
    uid = begun(store, 44.0)
    wound = NOW - 44 * HOUR
    lies(store, uid, wound)
    hears(store, [(wound + HOUR / 12, NOW - 4 * HOUR, "open")])
    listened = NOW - 4 * HOUR
    catch_up(store, listened)
    (one,) = on_test(store, listened, ZONE)
    assert (one.state, one.looks) == ("going", ())
    assert one.sensor


def test_a_stop_that_a_sensor_told_is_no_alarm(store: Store) -> None:
    uid = begun(store, 44.0)
    wound = NOW - 44 * HOUR
    give(store, EditWatch(watch_uid=uid, nickname="A", habit="keep going", stated_reserve_h=40))
    lies(store, uid, wound)
    hears(store, [(wound + HOUR / 12, NOW - 4 * HOUR, "stopped")])
    catch_up(store, NOW)
    (one,) = on_test(store, NOW, ZONE)
    assert one.ended is not None
    assert (one.state, one.ended.ended_by) == ("stopped", "stop heard")
    assert "by its sensor" in benchwords.known(one, NOW, ZONE)
    assert store.reading().execute("SELECT * FROM reminder WHERE state IN ('planned', 'due')").fetchall() == []
