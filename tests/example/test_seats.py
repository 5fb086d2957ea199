from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from sensors.rest import Stop
from sensors.simulated.events import Event
from tracker import winders
from tracker.collection import open_collection, preferences
from tracker.example import seats
from tracker.example.fill import fill, lives, watch_uid
from tracker.example.life import Lived
from tracker.store.sensed import reading as sensed
from tracker.store.sensed.migrations import open_sensed
from tracker.store.store import Store

NOW = datetime(2026, 11, 25, 7, 25, 40, tzinfo=UTC)
BEGIN = NOW - seats.PAST


@cache
def told() -> dict[str, Lived]:
    return lives(NOW, ZoneInfo("Europe/London"))


@pytest.fixture(scope="module")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Store:
    store = open_collection(tmp_path_factory.mktemp("example"), NOW)
    fill(store, NOW, then=lambda *_: None)
    seats.fill_sensors(store, NOW, then=lambda *_: None)
    return store


def test_the_same_moment_gives_the_same_sensors_and_the_same_messages() -> None:
    def day() -> list[Event]:
        return list(seats.messages(lives(NOW, ZoneInfo("Europe/London")), NOW, NOW - timedelta(hours=6), NOW))

    assert seats.commands(told(), NOW) == seats.commands(told(), NOW)
    assert day() == day()


def test_the_stops_that_the_sensor_told_are_true(filled: Store) -> None:
    file = open_sensed(filled.path.parent)
    found = sensed.stops(file.reading(), seats.sensor_uid(seats.REST), BEGIN.timestamp(), NOW.timestamp())
    spells = lives(NOW, preferences(filled).zone)["Lamp room"].spells
    true = [end.timestamp() for _, end in spells if BEGIN < end < NOW - timedelta(hours=1)]
    assert len(found) == len(true) > 0
    for stop, moment in zip(found, true, strict=True):
        assert isinstance(stop, Stop)
        assert stop.after_s <= moment <= stop.before_s


def test_the_winder_of_the_left_seat_has_failed_and_that_is_said(filled: Store) -> None:
    winders.judge(filled, NOW)
    facts = winders.held(filled.reading(), watch_uid("Almanac"))
    assert facts is not None
    assert facts.word == "no turns"
    assert abs(facts.since - (NOW - seats.STANDS_STILL)) < timedelta(hours=2)
    for other in ("Ebb tide", "Flood tide", "Lamp room"):
        assert winders.held(filled.reading(), watch_uid(other)) is None


def test_nobody_sits_in_the_box_while_on_the_wrist(filled: Store) -> None:
    assert set(winders.seated(filled.reading())) == {watch_uid("Almanac"), watch_uid("Ebb tide")}


def test_they_are_set_up_once_and_never_in_a_collection_of_ones_own(filled: Store, tmp_path: Path) -> None:
    before = filled.reading().execute("SELECT count(*) FROM command_log").fetchone()
    seats.fill_sensors(filled, NOW, then=lambda *_: None)
    assert filled.reading().execute("SELECT count(*) FROM command_log").fetchone() == before
    own = open_collection(tmp_path, NOW)
    seats.fill_sensors(own, NOW, then=lambda *_: None)
    assert own.reading().execute("SELECT count(*) FROM sensor").fetchone() == (0,)
