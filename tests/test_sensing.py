"""From the sensors' file to what is known of a watch: fresh, in one place, and for nothing where there is none."""

from contextlib import closing
from datetime import timedelta

import pytest

from sensors.keeper import Keeper
from tests.derived import check_cache
from tests.listening import TRAY, hears, lies
from tests.sensors.sensing import messages, rest_sensor, sorted_out
from tests.web.rounds import HOUR, NOW, give, register
from tracker import derive, figures, sensing
from tracker.commands.heard import AnswerSensor
from tracker.commands.undo import Undo
from tracker.store import reminders, sensors
from tracker.store.sensed.migrations import open_sensed
from tracker.store.store import Store
from tracker.uids import uid_of

NEXT = uid_of("shelf")
MINUTE = timedelta(minutes=1)
WOUND = NOW - 44 * HOUR
STOP = NOW - 4 * HOUR
"""Wound 44 h ago, heard going for 40 h."""


@pytest.fixture
def uid(store: Store) -> str:
    """A watch kept going that lies on a sensor."""
    uid = register(store, "Night ferry", 44)
    lies(store, uid, WOUND)
    return uid


def _told(store: Store) -> None:
    hears(store, [(WOUND + 5 * MINUTE, STOP, "stopped")])


def _line(store: Store) -> list[str]:
    return derive.line(store.reading(), NOW).missed


def test_a_collection_without_sensors_opens_no_file(store: Store) -> None:
    uid = register(store, "Night ferry", 44)
    assert sensing.heard(store.reading(), [uid]) == {}
    assert sensing.counters(store.reading()) == {uid: 2}
    assert not store.path.with_name("sensors.db").exists()


def test_a_stop_that_is_heard_puts_its_watch_in_line_and_is_its_run_down(store: Store, uid: str) -> None:
    derive.catch_up(store, NOW)
    other = register(store, "Tide table", 10)
    before = sensing.changes(store.reading())
    assert _line(store) == []
    _told(store)
    assert sensing.changes(store.reading()) > before
    assert _line(store) == [uid]
    assert derive.catch_up(store, NOW) == 1
    found = {each.watch.uid: each for each in figures.collect(store, NOW)}
    assert found[uid].standing.word == "stopped"
    assert found[uid].history.last.since == STOP + MINUTE
    assert [run.ended_by for run in found[uid].history.runs] == ["stop heard"]
    assert found[uid].estimate.evidence["between"] == 1
    assert found[other].standing.word == "going"
    check_cache(store.path, NOW)


def test_recomputed_it_is_the_same(store: Store, uid: str) -> None:
    _told(store)
    derive.catch_up(store, NOW)
    before = figures.one(store, uid, NOW)
    derive.recompute(store, NOW)
    assert figures.one(store, uid, NOW) == before
    check_cache(store.path, NOW)


def test_heard_going_still_it_is_going_up_to_the_newest_reading_without_being_worked_out(
    store: Store, uid: str
) -> None:
    hears(store, [(WOUND + 5 * MINUTE, NOW - 3 * HOUR, "open")])
    derive.catch_up(store, NOW)
    hears(store, [(WOUND + 5 * MINUTE, NOW - MINUTE, "open")], anew=False)
    for with_runs in (True, False):
        (each,) = figures.survey(store, NOW, with_runs=with_runs).known
        assert each.watch.uid == uid
        assert (each.history.last.since, each.behind) == (NOW - MINUTE, False)
        assert each.standing.seen_going_h == pytest.approx(44, abs=0.1)


def test_what_a_sensor_left_open_is_asked_and_an_answer_settles_it(store: Store, uid: str) -> None:
    lifted = WOUND + 20 * HOUR
    hears(store, [(WOUND + 5 * MINUTE, lifted, "stopped")])
    derive.catch_up(store, NOW)
    each = figures.one(store, uid, WOUND + 21 * HOUR)
    assert [question.asking for question in each.questions] == ["lifted or stopped"]
    assert (each.standing.word, each.standing.wind_by is not None) == ("unknown", True)
    give(store, AnswerSensor(watch_uid=uid, sensor_uid=TRAY, at=lifted, word="stopped"))
    each = figures.one(store, uid, NOW)
    assert (each.questions, each.standing.word, len(each.history.runs)) == ((), "stopped", 1)
    give(store, Undo())
    assert [question.asking for question in figures.one(store, uid, NOW).questions] == ["lifted or stopped"]
    check_cache(store.path, NOW)


def test_what_is_heard_after_the_watch_was_taken_off_is_of_another(store: Store) -> None:
    uid = register(store, "Night ferry", 44)
    lies(store, uid, WOUND, WOUND + 30 * HOUR)
    _told(store)
    heard = sensing.heard(store.reading(), [uid])[uid]
    assert heard.spells[0].end == WOUND + 30 * HOUR
    assert heard.halts == ()


def test_a_watch_moved_from_one_sensor_to_another_keeps_what_both_heard(store: Store) -> None:
    uid = register(store, "Night ferry", 44)
    lies(store, uid, WOUND, WOUND + 10 * HOUR)
    lies(store, uid, WOUND + 10 * HOUR, sensor_uid=NEXT)
    hears(store, [(WOUND + 5 * MINUTE, WOUND + 10 * HOUR, "unknown")])
    hears(store, [(WOUND + 10 * HOUR + MINUTE, STOP, "stopped")], NEXT)
    derive.catch_up(store, NOW)
    assert [run.evidence.kind for run in figures.one(store, uid, NOW).history.runs] == ["between"]


def test_a_kept_watch_whose_stop_is_heard_calls_for_a_look(store: Store, uid: str) -> None:
    derive.catch_up(store, NOW)
    _told(store)
    derive.catch_up(store, NOW)
    found = {row["kind"]: row for row in reminders.planned_reminders(store.reading(), 10)}
    assert found["look"]["subject_uid"] == uid
    assert (found["look"]["due_utc"], found["look"]["useful_until_utc"]) == (
        "2026-11-25T09:00:00Z",
        "2026-11-25T03:26:00Z",
    )
    assert "last call" not in found


def test_from_the_messages_of_a_sensor_to_a_run_down(store: Store, uid: str) -> None:
    """One reading a minute as the listener keeps it: going for 40 h, then stopped for four; late ones change nothing."""
    sensor = rest_sensor(TRAY)
    minutes = range(5, 44 * 60)
    readings = [((WOUND + minute * MINUTE).timestamp(), float(minute < 40 * 60)) for minute in minutes]
    with closing(open_sensed(store.path.parent)) as file:
        keeper = Keeper(file)
        keeper.set_up([sensor], sensors.assignments(store.reading()))
        keeper.keep(sorted_out(messages(readings, sensor), sensor))
        derive.catch_up(store, NOW)
        (run,) = figures.one(store, uid, NOW).history.runs
        keeper.keep(sorted_out(messages(readings[-100:], sensor), sensor))
    assert (run.ended_by, run.evidence.kind) == ("stop heard", "between")
    low_h, high_h = run.evidence.spans_h[0]
    assert 39.9 < low_h < high_h <= 40.0
    assert high_h - low_h == pytest.approx(1 / 60, abs=1e-6)
    assert _line(store) == []
    check_cache(store.path, NOW)
