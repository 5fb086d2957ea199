"""The listener on a real broker: what was acknowledged is kept, exactly once, whatever is killed."""

import json
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import datetime
from pathlib import Path

import pytest

from sensors.brokersettings import BrokerSettings, Protocol
from sensors.listener import Listener
from tests.brokers import DURABLE, Broker, free_port, mosquitto, publish
from tests.patience import until
from tests.sensors.sensing import EVER, payload
from tracker import clock
from tracker.collection import open_collection, owner
from tracker.commands.door import submit
from tracker.commands.sensor import AddSensor
from tracker.store.sensed import reading
from tracker.store.sensed.migrations import open_sensed

pytestmark = pytest.mark.broker


def add(folder: Path, now: datetime, topic: str = "house/tray") -> str:
    store = open_collection(folder, now)
    sensor = AddSensor(name=topic, topic=topic, expected_s=60, written="json", value_at="/going", time_at="/t")
    submit(store, [sensor], owner(store, "page", now), then=lambda *_: None)
    store.close()
    return sensor.uid


@pytest.fixture
def tray(tmp_path: Path, now: datetime) -> str:
    return add(tmp_path, now)


@pytest.fixture
def broker(tmp_path: Path) -> Iterator[Broker]:
    folder = tmp_path / "broker"
    folder.mkdir()
    with mosquitto(folder, *DURABLE) as started:
        yield started


@pytest.fixture
def listen(tmp_path: Path) -> Iterator[Callable[[BrokerSettings], Listener]]:
    started: list[Listener] = []

    def begin(settings: BrokerSettings) -> Listener:
        listener = Listener(tmp_path, settings)
        listener.start()
        started.append(listener)
        return listener

    yield begin
    for listener in started:
        listener.stop()


def kept(folder: Path, uid: str) -> list[tuple[float, float]]:
    with closing(open_sensed(folder)) as file:
        return [(each.at_s, each.value) for each in reading.readings(file.reading(), uid, *EVER)]


def minutes(count: int, before: int = 0) -> list[tuple[float, float]]:
    """A reading each minute, the last `before` minutes ago."""
    now_s = float(int(clock.now().timestamp()))
    return [(now_s - 60.0 * (count - number + before), float(number % 2)) for number in range(count)]


def messages(readings: list[tuple[float, float]], topic: str = "house/tray") -> list[tuple[str, bytes]]:
    return [(topic, payload(*each)) for each in readings]


@pytest.mark.parametrize("protocol", ["5", "3.1.1"])
def test_every_message_becomes_one_reading(
    tmp_path: Path, tray: str, broker: Broker, listen: Callable[[BrokerSettings], Listener], protocol: Protocol
) -> None:
    listener = listen(broker.settings(protocol))
    until(lambda: listener.state.state == "listening")
    assert listener.state.protocol == protocol
    readings = minutes(1_200)
    publish(broker.port, messages(readings) + messages(readings[::7]))
    until(lambda: kept(tmp_path, tray) == readings)


def test_a_broker_that_is_away_at_first_and_later_dies_is_found_again(
    tmp_path: Path, tray: str, broker: Broker, listen: Callable[[BrokerSettings], Listener]
) -> None:
    broker.kill()
    listener = listen(broker.settings())
    until(lambda: listener.state.state == "away")
    assert "no broker answers" in listener.state.why
    broker.start()
    until(lambda: listener.state.state == "listening")
    readings = minutes(60)
    publish(broker.port, messages(readings[:30]))
    until(lambda: len(kept(tmp_path, tray)) == 30)
    broker.kill()
    until(lambda: listener.state.state == "away")
    broker.start()
    until(lambda: listener.state.state == "listening")
    publish(broker.port, messages(readings[30:]))
    until(lambda: kept(tmp_path, tray) == readings)


def test_what_was_sent_while_nobody_listened_is_kept_later(
    tmp_path: Path, tray: str, broker: Broker, listen: Callable[[BrokerSettings], Listener]
) -> None:
    first = listen(broker.settings())
    until(lambda: first.state.state == "listening")
    first.stop()
    readings = minutes(300)
    publish(broker.port, messages(readings))
    listen(broker.settings())
    until(lambda: kept(tmp_path, tray) == readings)


def test_a_wrong_password_is_said_and_nothing_else_suffers(tmp_path: Path, tray: str) -> None:
    folder = tmp_path / "closed"
    folder.mkdir()
    with mosquitto(folder, "allow_anonymous false") as broker:
        listener = Listener(tmp_path, broker.settings(user="going", password="wrong"))  # noqa: S106 -- wrong, too
        listener.start()
        until(lambda: listener.state.state == "away")
        assert listener.state.why == "the broker does not accept the user or the password"
        listener.stop()
        assert kept(tmp_path, tray) == []
        with closing(open_sensed(tmp_path)) as file:
            condition = reading.health(file.reading())
        assert condition is not None
        assert condition.state == "stopped"


def test_a_locked_file_delays_what_comes_and_loses_none_of_it(
    tmp_path: Path,
    tray: str,
    broker: Broker,
    listen: Callable[[BrokerSettings], Listener],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("tracker.store.store.BUSY_MS", 50)
    listener = listen(broker.settings())
    until(lambda: listener.state.state == "listening")
    readings = minutes(200)
    with closing(sqlite3.connect(tmp_path / "sensors.db", isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        publish(broker.port, messages(readings))
        until(lambda: listener.state.why != "")
        other.execute("ROLLBACK")
    until(lambda: kept(tmp_path, tray) == readings)
    until(lambda: listener.state.why == "")


def test_a_sensor_set_up_meanwhile_is_listened_to_at_once(
    tmp_path: Path, tray: str, now: datetime, broker: Broker, listen: Callable[[BrokerSettings], Listener]
) -> None:
    assert tray
    listener = listen(broker.settings())
    until(lambda: listener.state.state == "listening")
    other = add(tmp_path, now, "house/other")
    readings = minutes(3)

    def heard() -> bool:
        publish(broker.port, messages(readings, "house/other"))
        return kept(tmp_path, other) == readings

    until(heard)


def test_a_retained_message_is_what_was_known_and_no_reading(
    tmp_path: Path, tray: str, broker: Broker, listen: Callable[[BrokerSettings], Listener]
) -> None:
    old = minutes(1, before=600)
    publish(broker.port, messages(old), retain=True)
    listener = listen(broker.settings())
    until(lambda: listener.state.state == "listening")
    fresh = minutes(5)
    publish(broker.port, messages(fresh))
    until(lambda: kept(tmp_path, tray) == fresh)


def test_what_cannot_be_read_is_kept_with_its_reason_and_stops_nothing(
    tmp_path: Path, tray: str, broker: Broker, listen: Callable[[BrokerSettings], Listener]
) -> None:
    listener = listen(broker.settings())
    until(lambda: listener.state.state == "listening")
    readings = minutes(2)
    bad = [b"\xff", b"", json.dumps({"going": True}).encode(), b"[" * 70_000]
    publish(broker.port, [("house/tray", each) for each in bad] + messages(readings))
    until(lambda: kept(tmp_path, tray) == readings)
    with closing(open_sensed(tmp_path)) as file:
        assert len(reading.rejected(file.reading(), tray)) == len(bad)


def test_nobody_there_at_all_is_no_reason_to_die(
    tmp_path: Path, tray: str, listen: Callable[[BrokerSettings], Listener]
) -> None:
    assert tray
    listener = listen(BrokerSettings(port=free_port()))
    until(lambda: listener.state.state == "away")
    listener.stop()
    assert listener.state.state == "stopped"
    assert kept(tmp_path, tray) == []
