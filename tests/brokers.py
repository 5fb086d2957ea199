"""A real broker for tests: Debian's mosquitto on a free port; skipped without it unless GOING_NEEDS_BROKER=1."""

import getpass
import os
import shutil
import socket
import subprocess
import threading
import time
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path

import pytest
from paho.mqtt.client import Client, MQTTMessage, MQTTv5
from paho.mqtt.enums import CallbackAPIVersion, MQTTProtocolVersion
from paho.mqtt.reasoncodes import ReasonCode

from sensors.brokersettings import BrokerSettings, Protocol

MOSQUITTO = shutil.which("mosquitto", path=f"{os.environ.get('PATH', '')}:/usr/sbin")
DURABLE = ("persistence true", "autosave_on_changes true", "autosave_interval 1", "max_queued_messages 0")
Sent = tuple[str, bytes]


def require_broker() -> str:
    """The path of mosquitto; skips the test if there is none."""
    if MOSQUITTO is None:
        if os.environ.get("GOING_NEEDS_BROKER") == "1":
            pytest.fail("GOING_NEEDS_BROKER=1, and there is no mosquitto")
        pytest.skip("needs Debian's mosquitto")
    return MOSQUITTO


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


class Broker:
    """A broker that can be killed and started again on the same port with the same files."""

    def __init__(self, folder: Path, lines: Iterable[str], listener: str = "") -> None:
        self.folder, self.port = folder, free_port()
        self._process: subprocess.Popen[bytes] | None = None
        self._config = folder / "mosquitto.conf"
        asked = [*lines]
        open_to_all = [] if any(line.startswith("allow_anonymous") for line in asked) else ["allow_anonymous true"]
        # Started by root it would become a user of its own, to whom a test's folders are closed: nothing would persist.
        ours = f"user {getpass.getuser()}"
        head = [
            f"listener {self.port} 127.0.0.1",
            *open_to_all,
            ours,
            f"persistence_location {folder}/",
            "set_tcp_nodelay true",
        ]
        self._config.write_text("\n".join([*head, *asked, listener, ""]))

    def start(self) -> None:
        log = (self.folder / "mosquitto.log").open("ab")
        with log:
            self._process = subprocess.Popen(
                [require_broker(), "-c", str(self._config)], stdout=log, stderr=subprocess.STDOUT
            )
        while not self._answers():
            assert self._process.poll() is None, (self.folder / "mosquitto.log").read_text()
            time.sleep(0.01)

    def _answers(self) -> bool:
        with suppress(OSError), socket.create_connection(("127.0.0.1", self.port), timeout=1):
            return True
        return False

    def kill(self) -> None:
        assert self._process is not None
        self._process.kill()
        self._process.wait()

    def stop(self) -> None:
        if self._process is not None:
            self._process.terminate()
            self._process.wait(timeout=10)

    def settings(self, protocol: Protocol = "any", *, user: str = "", password: str = "") -> BrokerSettings:
        return BrokerSettings(port=self.port, protocol=protocol, user=user, password=password)


@contextmanager
def mosquitto(folder: Path, *lines: str) -> Iterator[Broker]:
    """A broker that listens on a free port of this machine, with these lines more in its configuration."""
    require_broker()
    folder.mkdir(parents=True, exist_ok=True)
    broker = Broker(folder, lines)
    broker.start()
    try:
        yield broker
    finally:
        broker.stop()


def publish(
    port: int,
    messages: Sequence[Sent],
    *,
    retain: bool = False,
    user: str = "",
    password: str = "",
    protocol: MQTTProtocolVersion = MQTTProtocolVersion.MQTTv5,
) -> None:
    """Publish by QoS 1 and wait until the broker has acknowledged all of them."""
    client = Client(CallbackAPIVersion.VERSION2, protocol=protocol)
    client.max_inflight_messages = 500
    if user:
        client.username_pw_set(user, password)
    ready = threading.Event()
    client.on_connect = lambda *_: ready.set()
    client.connect("127.0.0.1", port)
    client.loop_start()
    try:
        assert ready.wait(10)
        infos = [client.publish(topic, payload, qos=1, retain=retain) for topic, payload in messages]
        for info in infos:
            info.wait_for_publish(30)
    finally:
        client.disconnect()
        client.loop_stop()


@contextmanager
def subscribed(port: int, topic: str) -> Iterator[list[Sent]]:
    """What comes on a topic while this lasts, retained messages included."""
    came: list[Sent] = []
    ready = threading.Event()
    client = Client(CallbackAPIVersion.VERSION2, protocol=MQTTv5)

    def on_message(_client: Client, _userdata: object, message: MQTTMessage) -> None:
        came.append((message.topic, bytes(message.payload)))

    def on_subscribe(_client: Client, _userdata: object, _mid: int, _reasons: list[ReasonCode], _more: object) -> None:
        ready.set()

    client.on_message, client.on_subscribe = on_message, on_subscribe
    client.connect("127.0.0.1", port)
    client.subscribe(topic, qos=1)
    client.loop_start()
    try:
        assert ready.wait(10)
        yield came
    finally:
        client.disconnect()
        client.loop_stop()
