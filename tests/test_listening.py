"""Listening as part of the program, from a published message to a committed reading."""

import json
import os
import subprocess
import sys
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from urllib.parse import urljoin

import paho.mqtt.client as paho
import pytest
from paho.mqtt.enums import CallbackAPIVersion, MQTTProtocolVersion

from sensors.brokerusers import SENSORS, users_of
from tests.patience import PATIENCE_S, until
from tests.sensors.fulldisk import page
from tests.sensors.test_broker import free_port
from tests.serving import children, fetch, lives, serving
from tracker.collection import open_collection, owner
from tracker.commands.door import submit
from tracker.commands.sensor import AddSensor
from tracker.reminders.role import take_role
from tracker.store.sensed import reading
from tracker.store.sensed.migrations import FILE_NAME, open_sensed

ROOT = Path(__file__).parent.parent
GOING = [sys.executable, "-m", "tracker"]


def _env(folder: Path) -> dict[str, str]:
    return {**os.environ, "GOING_DATA": str(folder), "PYTHONPATH": str(ROOT)}


@pytest.fixture
def tray(tmp_path: Path, now: datetime) -> str:
    store = open_collection(tmp_path, now)
    # Stamped: what comes without a stamp just after a connection may have waited somewhere, and is no reading.
    sensor = AddSensor(name="tray", topic="house/tray", expected_s=60, written="json", value_at="/going", time_at="/t")
    submit(store, [sensor], owner(store, "page", now))
    store.close()
    return sensor.uid


def publish(folder: Path, port: int, *, going: bool) -> None:
    payload = json.dumps({"going": going, "t": datetime.now(UTC).timestamp()})
    client = paho.Client(CallbackAPIVersion.VERSION2, protocol=MQTTProtocolVersion.MQTTv311)
    client.username_pw_set(SENSORS, users_of(folder)[SENSORS])
    client.connect("127.0.0.1", port)
    client.loop_start()
    client.publish("house/tray", payload, qos=1).wait_for_publish(PATIENCE_S)
    client.disconnect()
    client.loop_stop()


def _heard(folder: Path, sensor_uid: str) -> list[float]:
    if not (folder / FILE_NAME).exists():
        return []
    with closing(open_sensed(folder)) as file:
        return [each.value for each in reading.readings(file.reading(), sensor_uid, 0, 1e12)]


def _listens(folder: Path) -> bool:
    if not (folder / FILE_NAME).exists():
        return False
    with closing(open_sensed(folder)) as file:
        condition = reading.health(file.reading())
    return condition is not None and condition.state == "listening"


def test_served_with_a_broker_a_published_message_becomes_a_reading(tmp_path: Path, tray: str) -> None:
    port = free_port()
    command = [*GOING, "serve", "--port", "0", "--broker", str(port)]
    with serving(command, folder=tmp_path, env=_env(tmp_path)) as server:
        until(lambda: _listens(tmp_path))
        publish(tmp_path, port, going=True)
        until(lambda: _heard(tmp_path, tray) == [1.0])
        until(lambda: json.loads(fetch(urljoin(server.address, "healthz"))[2])["last_message"] is not None)
        own = children(server.process.pid)
    assert [pid for pid in own if lives(pid)] == []


def test_it_listens_alone_too_and_one_at_a_time(tmp_path: Path, tray: str) -> None:
    port = free_port()
    command = [*GOING, "listen", "--broker", str(port)]
    listening = subprocess.Popen(command, cwd=tmp_path, env=_env(tmp_path), stderr=subprocess.DEVNULL)
    try:
        until(lambda: _listens(tmp_path))
        second = subprocess.run(
            [*GOING, "listen", "--broker", str(free_port())],
            env=_env(tmp_path), capture_output=True, text=True, check=False, timeout=30,
        )  # fmt: skip
        publish(tmp_path, port, going=False)
        until(lambda: _heard(tmp_path, tray) == [0.0])
        listening.terminate()
        assert listening.wait(30) == 0
    finally:
        listening.kill()
        listening.wait()
    assert "Another process listens to the sensors of this collection already." in second.stderr
    assert second.returncode != 0


def test_a_listener_that_was_killed_is_not_told_as_listening(tmp_path: Path, tray: str) -> None:
    assert tray
    command = [*GOING, "listen", "--broker", str(free_port())]
    listening = subprocess.Popen(command, cwd=tmp_path, env=_env(tmp_path), stderr=subprocess.DEVNULL)
    try:
        until(lambda: _listens(tmp_path))
        assert "Listening since" in page(tmp_path)
    finally:
        listening.kill()
        listening.wait()
    assert _listens(tmp_path)
    assert "Nothing listens at the moment." in page(tmp_path)


def test_without_a_broker_to_listen_to_it_says_how_to_name_one(tmp_path: Path) -> None:
    done = subprocess.run(
        [*GOING, "listen"], env=_env(tmp_path), capture_output=True, text=True, check=False, timeout=30
    )
    assert done.returncode == 2
    assert "No broker is named." in done.stderr
    assert "going.toml" in done.stderr


def test_pages_are_served_though_no_sensor_can_be_listened_to(tmp_path: Path) -> None:
    role = take_role(tmp_path, "listening")
    assert role is not None
    command = [*GOING, "serve", "--port", "0", "--broker", str(free_port())]
    with serving(command, folder=tmp_path, env=_env(tmp_path)) as server:
        assert fetch(server.address)[0] == 200
    role.close()
