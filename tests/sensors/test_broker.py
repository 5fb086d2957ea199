"""The broker of our own, over real sockets."""

import os
import signal
import socket
import subprocess
import sys
import threading
from collections.abc import Iterator
from pathlib import Path

import paho.mqtt.client as paho
import pytest
from paho.mqtt.enums import CallbackAPIVersion, MQTTProtocolVersion

from sensors.broker import OwnBroker
from sensors.brokerusers import SENSORS, users_of
from tracker.errors import Unavailable

PATIENCE_S = 20.0


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@pytest.fixture
def port() -> int:
    return free_port()


@pytest.fixture
def broker(tmp_path: Path, port: int) -> Iterator[OwnBroker]:
    own = OwnBroker(tmp_path, port)
    own.start()
    yield own
    own.stop()


class Caller:
    """A client that waits for what it is told."""

    def __init__(self, port: int, user: str, password: str) -> None:
        self.answer: list[str] = []
        self.heard: list[tuple[str, bytes]] = []
        self.answered, self.got = threading.Event(), threading.Event()
        self.client = paho.Client(CallbackAPIVersion.VERSION2, protocol=MQTTProtocolVersion.MQTTv311)
        self.client.username_pw_set(user, password)
        self.client.on_connect = self._connected
        self.client.on_message = self._message
        self.client.connect("127.0.0.1", port)
        self.client.loop_start()
        assert self.answered.wait(PATIENCE_S)

    def _connected(self, _client: object, _data: object, _flags: object, reason: object, _properties: object) -> None:
        self.answer.append(str(reason))
        self.answered.set()

    def _message(self, _client: object, _data: object, message: paho.MQTTMessage) -> None:
        self.heard.append((message.topic, bytes(message.payload)))
        self.got.set()

    def leave(self) -> None:
        self.client.disconnect()
        self.client.loop_stop()


def test_a_sensor_with_its_password_is_heard_by_the_listener(broker: OwnBroker, tmp_path: Path, port: int) -> None:
    listener = Caller(port, broker.settings.user, broker.settings.password)
    subscribed = threading.Event()
    listener.client.on_subscribe = lambda *_: subscribed.set()
    listener.client.subscribe("#", qos=1)
    assert subscribed.wait(PATIENCE_S)
    sensor = Caller(port, SENSORS, users_of(tmp_path)[SENSORS])
    sensor.client.publish("house/tray", b"on", qos=1).wait_for_publish(PATIENCE_S)
    assert listener.got.wait(PATIENCE_S)
    assert listener.heard == [("house/tray", b"on")]
    sensor.leave()
    listener.leave()


@pytest.mark.parametrize(("user", "password"), [(SENSORS, "wrong"), ("nobody", ""), ("", "")])
def test_whoever_has_no_password_is_not_let_in(broker: OwnBroker, port: int, user: str, password: str) -> None:
    assert broker.settings.port == port
    caller = Caller(port, user, password)
    assert caller.answer[0] != "Success"
    caller.leave()


def test_a_taken_port_is_told_in_one_sentence(broker: OwnBroker, tmp_path: Path, port: int) -> None:
    assert broker.settings.port == port
    with pytest.raises(Unavailable, match=f"No broker could be started on port {port}"):
        OwnBroker(tmp_path, port).start()


def test_a_broker_that_dies_is_started_again(broker: OwnBroker, tmp_path: Path, port: int) -> None:
    child = broker._child
    assert child is not None
    child.kill()
    child.wait()
    waited = threading.Event()
    for _ in range(200):
        if broker._child is not child:
            break
        waited.wait(0.1)
    caller = Caller(port, SENSORS, users_of(tmp_path)[SENSORS])
    assert caller.answer == ["Success"]
    caller.leave()


def test_none_is_left_behind_when_its_parent_is_killed(tmp_path: Path, port: int) -> None:
    program = (
        "import sys, pathlib; from sensors.broker import OwnBroker\n"
        f"own = OwnBroker(pathlib.Path({str(tmp_path)!r}), {port}); own.start()\n"
        "print(own._child.pid, flush=True); sys.stdin.read()"
    )
    parent = subprocess.Popen([sys.executable, "-c", program], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
    assert parent.stdout is not None
    child = int(parent.stdout.readline())
    parent.send_signal(signal.SIGKILL)
    parent.communicate()
    waited = threading.Event()
    for _ in range(200):
        if not Path(f"/proc/{child}").exists() or "Z" in Path(f"/proc/{child}/stat").read_text().split()[2]:
            break
        waited.wait(0.1)
    else:
        os.kill(child, signal.SIGKILL)
        pytest.fail("the broker outlived its parent")
