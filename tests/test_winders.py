"""A watch on a seat of a winder, from messages to the reminder and the pages."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from sensors.arrivals import Arrivals
from sensors.intake import Message, sort_out
from sensors.keeper import Keeper
from sensors.topics import Routes
from tracker import winders
from tracker.collection import open_collection, owner
from tracker.commands.build import build
from tracker.commands.door import submit
from tracker.commands.log import LogSighting
from tracker.commands.register import EditWatch, RegisterWatch
from tracker.commands.sensor import AddSensor, LayOnSensor, TakeOffSensor
from tracker.store import sensors as shelf
from tracker.store.sensed.migrations import open_sensed
from tracker.store.store import Store
from tracker.uids import uid_of
from tracker.web.app import create_app

NOW = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
HOUR = timedelta(hours=1)
WATCH, SEAT = uid_of("watch"), uid_of("seat")
BEGIN = NOW - 5 * 24 * HOUR


@pytest.fixture
def store(tmp_path: Path) -> Store:
    """A watch on a seat whose counter is read each hour."""
    made = open_collection(tmp_path, NOW)
    commands = [
        build(RegisterWatch, {"uid": WATCH, "nickname": "Almanac", "wound_by": "rotor only"}),
        build(AddSensor, {"uid": SEAT, "name": "Left", "kind": "winder", "topic": "box/left", "reports": "counter",
                          "written": "plain", "expected_s": "3600"}),
        build(LayOnSensor, {"uid": uid_of("lay"), "sensor_uid": SEAT, "watch_uid": WATCH, "at": BEGIN.isoformat()}),
    ]  # fmt: skip
    submit(made, commands, owner(made, "example", NOW))
    return made


def turn(store: Store, *turns: float) -> None:
    """So many turns in each hour from the beginning on."""
    told = open_sensed(store.path.parent)
    sensors, keeper = shelf.sensors(store.reading()), Keeper(told)
    keeper.set_up(sensors, shelf.assignments(store.reading()))
    counts = [sum(turns[:n]) for n in range(len(turns) + 1)]
    messages = [
        Message("box/left", str(count).encode(), (BEGIN + n * HOUR).timestamp()) for n, count in enumerate(counts)
    ]
    keeper.keep(sort_out(messages, Routes(sensors), Arrivals()))
    told.close()


def page(store: Store, path: str) -> str:
    return (
        create_app(store, now=lambda: NOW).test_client().get(path, base_url="http://127.0.0.1").get_data(as_text=True)
    )


def told(store: Store) -> list[tuple[str, str]]:
    rows = store.reading().execute("SELECT state, episode FROM reminder WHERE kind = 'winder' ORDER BY episode")
    return [(state, episode[: episode.rindex(" ")]) for state, episode in rows.fetchall()]


def test_a_winder_that_turns_is_not_spoken_of_and_its_turns_are_shown(store: Store) -> None:
    turn(store, *[30.0] * 120)
    winders.judge(store, NOW)
    assert told(store) == []
    assert "On its winder: 720 turns a day of late." in page(store, f"/watch/{WATCH}")


def test_a_winder_that_failed_is_reminded_of_and_withdrawn_when_it_turns_again(store: Store) -> None:
    turn(store, *[30.0] * 90, *[0.0] * 30)
    winders.judge(store, NOW)
    assert told(store) == [("planned", "no turns")]
    assert "has made no turn since" in page(store, f"/watch/{WATCH}")
    winders.judge(store, NOW + HOUR)
    assert told(store) == [("planned", "no turns")]
    turn(store, *[30.0] * 90, *[0.0] * 30, 40.0, 40.0)
    winders.judge(store, NOW + 3 * HOUR)
    assert told(store) == [("withdrawn", "no turns")]


def describe(store: Store, **figures: object) -> None:
    watch = {"watch_uid": WATCH, "nickname": "Almanac", "wound_by": "rotor only"} | figures
    submit(store, [build(EditWatch, watch)], owner(store, "example", NOW))


def test_turns_are_held_against_the_owners_figure_where_there_is_one(store: Store) -> None:
    turn(store, *[30.0] * 120)
    describe(store, winder_turns_a_day="900")
    winders.judge(store, NOW)
    assert told(store) == [("planned", "too few turns")]
    assert "Almanac gets 720 turns a day; by your figure it needs 900." in page(store, f"/watch/{WATCH}")
    describe(store, winder_turns_a_day="700")
    winders.judge(store, NOW)
    assert told(store) == [("withdrawn", "too few turns")]


@pytest.mark.parametrize(("way", "said"), [("clockwise", []), ("anticlockwise", ["too few turns"])])
def test_turns_in_a_direction_that_does_not_wind_it_count_for_nothing(
    tmp_path: Path, way: str, said: list[str]
) -> None:
    made = open_collection(tmp_path, NOW)
    commands = [
        build(RegisterWatch, {"uid": WATCH, "nickname": "Almanac", "wound_by": "rotor only", "winder_way": way}),
        build(AddSensor, {"uid": SEAT, "name": "Left", "kind": "winder", "topic": "box/left", "reports": "counter",
                          "direction": "clockwise", "written": "plain", "expected_s": "3600"}),
        build(LayOnSensor, {"uid": uid_of("lay"), "sensor_uid": SEAT, "watch_uid": WATCH, "at": BEGIN.isoformat()}),
    ]  # fmt: skip
    submit(made, commands, owner(made, "example", NOW))
    turn(made, *[30.0] * 120)
    winders.judge(made, NOW)
    assert [word for _, word in told(made)] == said


@pytest.mark.parametrize(("pause_h", "said"), [("12", [("planned", "no turns")]), ("", []), ("48", [])])
def test_a_winder_rests_as_long_as_its_programme_does(store: Store, pause_h: str, said: list[tuple[str, str]]) -> None:
    turn(store, *[40.0] * 102, *[0.0] * 18)
    describe(store, winder_pause_h=pause_h)
    winders.judge(store, NOW)
    assert told(store) == said


def test_a_watch_that_stopped_in_spite_of_its_turns_is_one_to_open(store: Store) -> None:
    turn(store, *[40.0] * 120)
    stopped = build(
        LogSighting,
        {"uid": uid_of("s"), "watch_uid": WATCH, "at": (NOW - HOUR).isoformat(), "seen": "stopped", "zone": "UTC"},
    )
    submit(store, [stopped], owner(store, "example", NOW))
    winders.judge(store, NOW)
    ((uid, facts),) = winders.to_open(store.reading())
    assert (uid, facts.word, facts.a_day) == (WATCH, "enough turns, yet stopped", 960)
    assert "stopped on its winder" in page(store, "/services")


def test_a_watch_taken_off_its_seat_is_no_longer_spoken_of(store: Store) -> None:
    turn(store, *[30.0] * 90, *[0.0] * 30)
    winders.judge(store, NOW)
    submit(
        store,
        [build(TakeOffSensor, {"uid": uid_of("off"), "sensor_uid": SEAT, "at": NOW.isoformat()})],
        owner(store, "example", NOW),
    )
    winders.judge(store, NOW)
    assert told(store) == [("withdrawn", "no turns")]


def test_without_a_winder_nothing_is_looked_at(tmp_path: Path) -> None:
    empty = open_collection(tmp_path / "empty", NOW)
    winders.judge(empty, NOW)
    assert winders.held(empty.reading(), WATCH) is None


def test_of_a_watch_that_becomes_a_customers_nothing_is_said(store: Store) -> None:
    turn(store, *[30.0] * 90, *[0.0] * 30)
    winders.judge(store, NOW)
    assert told(store) == [("planned", "no turns")]
    describe(store, job_number="W-118")
    winders.judge(store, NOW)
    assert told(store) == [("withdrawn", "no turns")]
